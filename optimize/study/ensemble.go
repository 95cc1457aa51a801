package study

import (
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// An ensemble flies designs under the same draws and sums up what they are
// worth. Everything it needs it holds, so that it does not allocate.
type ensemble struct {
	*Judge
	draws   *scatter.Draws
	scratch *model.Scratch
	rocket  model.Rocket // of the design
	site    model.Site
	drawn   model.Rocket // of the flight
	around  model.Site
	worth   [][]float64 // of each goal, minimised, a flight each
	numbers [][]float64 // of each limit, a flight each
	slacks  []float64   // of each limit, deviations from the mean
	weights [][]float64 // of each goal: bestWeights
	block   int         // flights among which the best are chosen
	met     []int       // of each limit, flights within it
	lacking []bool      // of each limit: some flight does not have the number
	all     int         // flights within every limit
	failed  bool        // some flight did not land or lacks a goal
}

func newEnsemble(b *brief.Brief, d *scatter.Draws) *ensemble {
	n := d.Flights()
	e := &ensemble{
		Judge: NewJudge(b), draws: d, scratch: model.NewScratch(), rocket: b.Rocket, site: b.Site,
		block: d.PerDay, slacks: make([]float64, len(b.Limits)), met: make([]int, len(b.Limits)), lacking: make([]bool, len(b.Limits)),
	}
	if len(b.Day) == 0 {
		e.block = n // no day differs from another
	}
	for i := range b.Goals {
		e.worth = append(e.worth, make([]float64, n))
		e.weights = append(e.weights, bestWeights(b.Goals[i].As, e.block))
	}
	for range b.Limits {
		e.numbers = append(e.numbers, make([]float64, n))
	}
	return e
}

// AsSet reports whether a metric is judged as set in a flight under scatter, not
// as drawn: a quantity, and the proof ratio, which is a rule for the pressure
// that is aimed for.
func AsSet(m *brief.Metric) bool {
	return m.Quantity != nil || !m.Gust && m.Figure == model.ProofRatio
}

// asSet returns the number of a flight under scatter.
func (e *ensemble) asSet(m *brief.Metric, f *model.Flight) float64 {
	if m.Quantity == nil && AsSet(m) {
		return e.rocket.Chamber.Proof / e.rocket.Chamber.Pressure
	}
	return number(m, &e.rocket, &e.site, f)
}

// fly flies a design under every draw. Of a day, the first flight counts for
// the limits: the others are not independent of it. see, which may be nil, is
// given every flight.
func (e *ensemble) fly(x []float64, see func(model.Flight)) {
	e.brief.Place(x, &e.rocket, &e.site)
	e.flyAll(see)
}

// flyAll flies e.rocket at e.site under every draw.
func (e *ensemble) flyAll(see func(model.Flight)) {
	e.begin()
	for i := range e.draws.Flights() {
		f := e.flyOne(i)
		if see != nil {
			see(f)
		}
	}
}

// begin forgets the flights of the design before.
func (e *ensemble) begin() {
	clear(e.met)
	clear(e.lacking)
	e.all, e.failed = 0, false
}

// flyOne flies e.rocket at e.site under draw i and counts the flight.
func (e *ensemble) flyOne(i int) model.Flight {
	e.draws.At(i, &e.rocket, &e.site, &e.drawn, &e.around)
	f := model.Fly(&e.drawn, &e.around, e.scratch)
	e.failed = e.failed || f.Outcome != model.Landed
	for k := range e.brief.Goals {
		g := &e.brief.Goals[k]
		var has bool
		e.worth[k][i], has = worth(g, e.asSet(&g.Metric, &f))
		e.failed = e.failed || !has
	}
	e.count(i, &f)
	return f
}

// passes flies a design day after day, in the order given, until it cannot keep
// some limit on as many days as are needed, or a flight fails.
func (e *ensemble) passes(x []float64, order []int, needed int) (t trial) {
	e.brief.Place(x, &e.rocket, &e.site)
	e.begin()
	for at, day := range order {
		t.days++
		all := e.all
		for i := range e.draws.PerDay {
			e.flyOne(day*e.draws.PerDay + i)
		}
		if e.all == all {
			t.missed = append(t.missed, day)
		}
		left := len(order) - 1 - at
		if e.failed || slices.ContainsFunc(e.met, func(met int) bool { return met+left < needed }) {
			return t
		}
	}
	t.passed = true
	return t
}

// count judges flight i.
func (e *ensemble) count(i int, f *model.Flight) {
	for k := range e.brief.Limits {
		v := e.asSet(&e.brief.Limits[k].Metric, f)
		if l := &e.brief.Limits[k]; l.Gust {
			v = e.Judge.number(&l.Metric, &e.drawn, &e.around, f)
		}
		e.values[k], e.numbers[k][i] = v, v
		e.lacking[k] = e.lacking[k] || math.IsNaN(v)
	}
	verdict := e.on(f)
	if i%e.draws.PerDay != 0 {
		return
	}
	for k, slack := range verdict.Slacks {
		if constraints.Kept(slack) && f.Outcome == model.Landed {
			e.met[k]++
		}
	}
	if verdict.Kept {
		e.all++
	}
}

// shown returns the slack of limit k that would be proved with the confidence:
// as many flights as are needed have no less. It is NaN where a flight failed or
// too few have any.
func (e *ensemble) shown(k int) float64 {
	if e.failed {
		return math.NaN()
	}
	var slacks []float64
	for i := 0; i < len(e.numbers[k]); i += e.draws.PerDay {
		if v := e.limits[k].Slack(e.numbers[k][i]); !math.IsNaN(v) {
			slacks = append(slacks, v)
		}
	}
	needed, _ := constraints.Needed(len(e.numbers[k])/e.draws.PerDay, e.brief.Search.Robust.Confidence)
	if len(slacks) < needed {
		return math.NaN()
	}
	slices.Sort(slacks)
	return slacks[len(slacks)-needed]
}

// judge writes what the search sees of the flights into r: each limit's slack
// so many deviations from its mean, one of z a limit.
func (e *ensemble) judge(r *optimize.Result, z []float64) {
	r.Failed = e.failed
	for k := range e.brief.Goals {
		r.Goals[k] = near(e.brief.Goals[k].As, e.worth[k], e.weights[k], e.block)
	}
	for k := range e.limits {
		e.slacks[k] = math.NaN()
		if !e.lacking[k] {
			e.slacks[k] = e.limits[k].Robust(e.numbers[k], z[k])
		}
	}
	judged(e.limits, e.slacks, r)
}
