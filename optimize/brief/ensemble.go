package brief

import (
	"gonum.org/v1/gonum/stat/distuv"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
)

// An ensemble flies designs under the same draws and sums up what they are
// worth. Everything it needs it holds, so that it does not allocate.
type ensemble struct {
	brief   *Brief
	draws   *draws
	scratch *model.Scratch
	rocket  model.Rocket // of the design
	site    model.Site
	drawn   model.Rocket // of the flight
	around  model.Site
	worth   [][]float64 // of each goal, minimised, a flight each
	values  [][]float64 // of each limit, a flight each
	weights [][]float64 // of each goal: Statistic.bestWeights
	block   int         // flights among which the best are chosen
	met     []int       // of each limit, flights within it
	lacking []bool      // of each limit: some flight does not have the number
	all     int         // flights within every limit
	failed  bool        // some flight did not land or lacks a goal
}

func (b *Brief) ensemble(d *draws) *ensemble {
	n := len(d.z)
	e := &ensemble{
		brief: b, draws: d, scratch: model.NewScratch(), rocket: b.Rocket, site: b.Site,
		block: d.day, met: make([]int, len(b.Limits)), lacking: make([]bool, len(b.Limits)),
	}
	if len(b.Day) == 0 {
		e.block = n // no day differs from another
	}
	for i := range b.Goals {
		e.worth = append(e.worth, make([]float64, n))
		e.weights = append(e.weights, b.Goals[i].As.bestWeights(e.block))
	}
	for range b.Limits {
		e.values = append(e.values, make([]float64, n))
	}
	return e
}

// value returns the number of a flight under scatter. A quantity is judged as
// set, not as drawn, and so is the proof ratio: a rule for the pressure that is
// aimed for.
func (e *ensemble) value(m *Metric, f *model.Flight) (float64, bool) {
	if m.quantity == nil && m.figure == model.ProofRatio {
		return e.rocket.Chamber.Proof / e.rocket.Chamber.Pressure, true
	}
	return m.Value(&e.rocket, &e.site, f)
}

// fly flies a design under every draw. Of a day, the first flight counts for
// the limits: the others are not independent of it. see, which may be nil, is
// given every flight.
func (e *ensemble) fly(x []float64, see func(model.Flight)) {
	e.brief.place(x, &e.rocket, &e.site)
	clear(e.met)
	clear(e.lacking)
	e.all, e.failed = 0, false
	for i := range e.draws.z {
		e.draws.at(i, &e.rocket, &e.site, &e.drawn, &e.around)
		f := model.Fly(&e.drawn, &e.around, e.scratch)
		e.failed = e.failed || f.Outcome != model.Landed
		if see != nil {
			see(f)
		}
		for k := range e.brief.Goals {
			g := &e.brief.Goals[k]
			v, ok := e.value(&g.Metric, &f)
			e.worth[k][i] = 0
			if ok {
				e.worth[k][i] = g.Minimised(v)
			}
			e.failed = e.failed || !ok
		}
		e.limits(i, &f)
	}
}

func (e *ensemble) limits(i int, f *model.Flight) {
	within := f.Outcome == model.Landed
	for k := range e.brief.Limits {
		l := &e.brief.Limits[k]
		v, ok := e.value(&l.Metric, f)
		e.values[k][i] = v
		e.lacking[k] = e.lacking[k] || !ok
		met := ok && l.room(v) >= 0 && f.Outcome == model.Landed
		within = within && met
		if met && i%e.draws.day == 0 {
			e.met[k]++
		}
	}
	if within && i%e.draws.day == 0 {
		e.all++
	}
}

// judge writes what the search sees of the flights into r: each limit's slack
// z deviations from its mean.
func (e *ensemble) judge(r *optimize.Result, z float64) {
	r.Failed = e.failed
	for k := range e.brief.Goals {
		r.Goals[k] = e.brief.Goals[k].As.near(e.worth[k], e.weights[k], e.block)
	}
	room := newEase()
	for k := range e.brief.Limits {
		l := &e.brief.Limits[k]
		slack := -l.Missing()
		if !e.lacking[k] {
			slack = l.rounded(l.Robust(e.values[k], z))
		}
		r.Violations[k] = max(0, -slack)
		room.add(l.Scaled(slack))
	}
	r.Slack = room.value()
}

// robustly makes p a search of designs that keep their limits under scatter.
//
// A limit is held so many deviations off the mean of a few flights that, were
// they normal, it would be kept by the share of flights that the proof at the
// end asks for.
func (b *Brief) robustly(p *optimize.Problem) {
	draws := b.draw(forSearch, b.nearFlights(), b.perDay(), b.Search.Seed)
	needed, _ := constraints.Needed(b.days(), b.Search.Robust.Confidence)
	share := float64(needed) / float64(b.days())
	// Of 59 flights all must do: the half flight keeps z finite.
	z := distuv.UnitNormal.Quantile(min(share, 1-0.5/float64(b.days())))
	p.Cost = len(draws.z)
	p.Evaluator = func() func(x []float64, r *optimize.Result) {
		e := b.ensemble(draws)
		return func(x []float64, r *optimize.Result) {
			e.fly(x, nil)
			e.judge(r, z)
		}
	}
}
