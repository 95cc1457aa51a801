package pad

import (
	"context"
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/model/air"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// An Evening is what was flown the evening before for a day on which wind,
// weight and pressure turn out otherwise than planned: a grid of days, each with
// one setting of fill and timer that was flown at all corners of it. Lines are SI
// and ascend; a grid has one cell fewer than lines each way.
type Evening struct {
	Winds     []float64 // m/s in the hand, at HandHeight, the amount
	Weights   []float64 // kg, of the rocket without water
	Pressures []float64 // Pa gauge; the last is that of the plan
	Cells     []Cell    // by pressure, then weight, then wind
}

// Cells each way of the grid.
const (
	windCells     = 11
	weightCells   = 7
	pressureCells = 7
	lighterCells  = 2 // of the weights, below the planned one
)

// HandHeight is where a wind meter is held, and WindHeight where a brief's wind
// blows, in m (common practice, no source; the second by definition).
const (
	HandHeight = 1.5
	WindHeight = 10.0
)

// A Cell is a small range of days and the one setting that was flown for it.
type Cell struct {
	Word      study.Word
	Fill      float64    // 1, water volume over chamber volume
	Delay     float64    // s, timer setting
	Height    [2]float64 // m, the least and the greatest of its corners
	Landing   float64    // m/s, the fastest
	Drift     float64    // m from the pad, the farthest to either side, with the guide leaned too
	BareDrift float64    // m, the same without canopy; NaN where it cannot be said
	Deciding  string     // key of the limit that decides against GO, else that leaves least room; "scatter"; "": it did not land
}

// EveningOf flies the grid of the design x of b; the grid is empty where
// model.Weigh cannot weigh it. It reports false where ctx ended first. The result
// does not depend on workers.
func EveningOf(ctx context.Context, b *brief.Brief, x []float64, workers int) (Evening, bool) {
	r, s := b.At(x)
	st, ok := model.Weigh(&r, &s)
	if !ok {
		return Evening{}, true
	}
	e := gridOf(&r, &s, &st)
	whole := study.Each(ctx, len(e.Cells), workers, func() func(i int) {
		n := newNight(b, &r, &s, &st)
		return func(i int) {
			e.Cells[i] = n.cell(&e, i)
		}
	})
	return e, whole
}

// gridOf returns the grid of a rocket, with nothing flown yet.
func gridOf(r *model.Rocket, s *model.Site, st *model.Statics) Evening {
	weight := roundStep(st.DryMass / 30)
	lightest := weight * (math.Floor(st.DryMass/weight+1e-9) - lighterCells)
	return Evening{
		Winds:     lines(0, gridStep(s), windCells),
		Weights:   lines(lightest, weight, weightCells),
		Pressures: pressureLines(r.Chamber.Pressure),
		Cells:     make([]Cell, windCells*weightCells*pressureCells),
	}
}

// lines returns the lines of so many cells, a step wide, from the first line.
func lines(from, step float64, cells int) []float64 {
	all := make([]float64, cells+1)
	for i := range all {
		all[i] = from + float64(i)*step
	}
	return all
}

// gridStep returns how wide the cells of the wind are, in m/s in the hand: the
// planned wind lies in the lower half of them.
func gridStep(s *model.Site) float64 {
	planned := math.Abs(s.Wind) * HandShare(s)
	for _, step := range []float64{0.5, 1} {
		if step*windCells >= 2*planned {
			return step
		}
	}
	return 2
}

// HandShare returns the share of a site's wind that blows at HandHeight, by the
// power law that flights use.
func HandShare(s *model.Site) float64 { return air.Power(HandHeight/WindHeight, s.WindExponent) }

// pressureLines end at the planned pressure: the grid has nothing above it.
func pressureLines(planned float64) []float64 {
	step := roundStep(planned / 20)
	all := lines(planned-pressureCells*step, step, pressureCells)
	all[pressureCells] = planned // as it was written
	return all
}

// A night flies cells. It belongs to one goroutine.
type night struct {
	brief   *brief.Brief
	rocket  model.Rocket // as planned, as if weighed
	site    model.Site
	tail    float64 // m, station
	judge   *study.Judge
	caller  *study.Caller
	scratch *model.Scratch
	water   []float64 // fills that are tried, the planned one first
	timers  []float64 // s, settings that are tried, the planned one first
}

func newNight(b *brief.Brief, r *model.Rocket, s *model.Site, st *model.Statics) *night {
	n := &night{
		brief: b, rocket: study.OnScale(r, st), site: *s, tail: r.Body.Length,
		judge: study.NewJudge(b), caller: study.NewCaller(b), scratch: model.NewScratch(),
	}
	f := model.Fly(r, s, n.scratch)
	top, _ := f.Figure(model.ApogeeTime)
	n.water = sparse(fills(b, r.Chamber.Fill, st.Volume), 3)
	n.timers = sparse(delays(b, r.Recovery.Delay, top-r.Recovery.Latency), 3)
	return n
}

// sparse keeps the first value, the planned one, and every so many of the rest.
func sparse(values []float64, every int) []float64 {
	kept := values[:1:1]
	for i := 1 + every/2; i < len(values); i += every {
		kept = append(kept, values[i])
	}
	return kept
}

// A day is a rocket and a site as they may turn out.
type day struct {
	rocket model.Rocket
	site   model.Site
}

// at returns the days of one wind, weight and pressure. What the rocket weighs
// more or less than planned is at its nose or at its tail: both are days.
func (n *night) at(wind, weight, pressure float64) []day {
	d := day{n.rocket, n.site}
	d.site.Wind = math.Copysign(wind/HandShare(&n.site), n.site.Wind)
	d.rocket.Chamber.Pressure = pressure
	own := n.rocket.Weighed
	d.rocket.Weighed.Mass = weight
	days := []day{d}
	if weight != own.Mass {
		days = append(days, d)
	}
	for i, station := range []float64{0, n.tail}[:len(days)] {
		days[i].rocket.Weighed.Balance = (own.Mass*own.Balance + (weight-own.Mass)*station) / weight
	}
	return days
}

// cell flies cell i of the grid: of the settings that keep every limit in its
// middle, the one that changes least and is best, if it also keeps them at every
// corner. Shares under scatter are those in its middle.
func (n *night) cell(e *Evening, i int) Cell {
	at := func(lines []float64, k int) (low, middle, high float64) {
		return lines[k], (lines[k] + lines[k+1]) / 2, lines[k+1]
	}
	w0, w, w1 := at(e.Winds, i%windCells)
	m0, m, m1 := at(e.Weights, i/windCells%weightCells)
	p0, p, p1 := at(e.Pressures, i/windCells/weightCells)
	var corners []day
	for _, wind := range []float64{w0, w1} {
		for _, weight := range []float64{m0, m1} {
			for _, pressure := range []float64{p0, p1} {
				corners = append(corners, n.at(wind, weight, pressure)...)
			}
		}
	}
	middles := n.at(w, m, p)
	t := trial{brief: n.brief, judge: n.judge, rocket: middles[0].rocket, site: middles[0].site, scratch: n.scratch}
	t.choose()
	const most = 3 // settings that are taken to the corners
	best, tried := Cell{Word: study.NoGo}, 0
	for _, some := range [][2][]float64{{n.water[:1], n.timers[:1]}, {n.water[:1], n.timers}, {n.water, n.timers[:1]}, {sparse(n.water, 2), sparse(n.timers, 2)}} {
		for _, setting := range t.keeping(some[0], some[1]) {
			if tried++; tried > most {
				return best
			}
			c := n.fly(setting.Fill, setting.Delay, corners, middles)
			if c.Word == study.Go {
				return c
			}
			if best.Deciding == "" || c.Word < best.Word {
				best = c
			}
		}
	}
	if tried == 0 { // what the plan misses there
		best = n.fly(n.water[0], n.timers[0], corners, middles)
	}
	return best
}

// keeping returns the settings that keep every limit and give no other goal
// away, the best first.
func (t *trial) keeping(fills, delays []float64) []try {
	var kept []try
	for _, fill := range fills {
		for _, delay := range delays {
			next := t.fly(fill, delay)
			if t.planned == nil {
				t.planned = t.minimised(&next.Flight)
			}
			if next.violation == 0 && next.given == 0 {
				kept = append(kept, next)
			}
		}
	}
	slices.SortStableFunc(kept, compareWorth)
	return kept
}

// fly flies one setting at all corners of a cell and calls it in its middle.
func (n *night) fly(fill, delay float64, corners, middles []day) Cell {
	c := Cell{Word: study.Go, Fill: fill, Delay: delay, Height: [2]float64{math.Inf(1), math.Inf(-1)}}
	least := math.Inf(1)
	for i := range corners {
		d := &corners[i]
		d.rocket.Chamber.Fill, d.rocket.Recovery.Delay = fill, delay
		if !valid(&d.rocket, &d.site) {
			return Cell{Word: study.NoGo}
		}
		f := model.Fly(&d.rocket, &d.site, n.scratch)
		if n.corner(&c, &f, n.judge.Of(&d.rocket, &d.site, &f), &least); c.Word == study.NoGo {
			return c
		}
	}
	for i := range middles {
		middles[i].rocket.Chamber.Fill, middles[i].rocket.Recovery.Delay = fill, delay
		if c.Word != study.NoGo {
			n.call(&c, &middles[i])
		}
	}
	for i := range corners {
		if c.Word != study.NoGo {
			n.falls(&c, &corners[i])
		}
	}
	return c
}

// corner takes a flight at a corner in.
func (n *night) corner(c *Cell, f *model.Flight, v *constraints.Verdict, least *float64) {
	if f.Outcome != model.Landed {
		c.Word = study.NoGo
		return
	}
	height, _ := f.Figure(model.Apogee)
	landing, _ := f.Figure(model.LandingSpeed)
	c.Height[0], c.Height[1] = min(c.Height[0], height), max(c.Height[1], height)
	c.Landing = max(c.Landing, landing)
	for k, slack := range v.Slacks {
		l := &n.brief.Limits[k]
		if !l.Safety() {
			continue
		}
		share := math.Inf(-1)
		if !math.IsNaN(slack) {
			share = l.Scaled(slack)
		}
		if !constraints.Kept(slack) {
			c.Word = study.NoGo
		}
		if share < *least || c.Deciding == "" {
			*least, c.Deciding = share, l.Metric.Key
		}
	}
}

// falls takes in where the rocket comes down at a corner with the guide leaned
// to either side, with canopy and without.
func (n *night) falls(c *Cell, d *day) {
	if !steady(&d.rocket, &d.site) {
		c.BareDrift = math.NaN()
	}
	for _, lean := range leans[:2] {
		around := d.site
		around.Tilt += lean
		f, bare := model.Fly(&d.rocket, &around, n.scratch), model.Bare(&d.rocket, &around, n.scratch)
		drift, ok := f.Figure(model.Drift)
		c.Drift = max(c.Drift, math.Abs(drift))
		away, came := bare.Figure(model.Drift)
		if !ok || !came {
			c.BareDrift = math.NaN()
		}
		c.BareDrift = max(c.BareDrift, c.Drift, math.Abs(away)) // NaN stays
	}
}

// call calls the middle of a cell whose corners keep the limits.
func (n *night) call(c *Cell, d *day) {
	switch word := n.caller.WordOf(&d.rocket, &d.site); {
	case word == study.NoGo || !fallsWithin(n.brief, &d.rocket, &d.site, n.scratch) || !below(n.brief, n.caller, &d.rocket, &d.site):
		c.Word, c.Deciding = study.NoGo, "scatter"
	case word == study.Tight:
		c.Word, c.Deciding = study.Tight, "scatter"
	}
}
