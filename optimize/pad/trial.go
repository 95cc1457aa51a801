package pad

import (
	"cmp"
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A trial tries fills and timer settings on one day.
type trial struct {
	brief   *brief.Brief
	judge   *study.Judge
	rocket  model.Rocket
	site    model.Site
	scratch *model.Scratch
	goal    brief.Goal   // the first that a flight decides, else height
	others  []brief.Goal // further ones
	planned []float64    // of others, minimised: as with the planned setting; nil: that cannot be flown
}

// A try is one setting with what it is worth.
type try struct {
	IfThen
	violation float64   // of all limits, as shares of them; 0: all hold
	given     int       // 1: another goal is given away, 0: none is
	goal      float64   // minimised
	slacks    []float64 // as shares of the limits, none above wideSlack, smallest first
	off       float64   // from the planned setting
}

const (
	givenAway = 0.01  // share by which another goal may get worse
	flat      = 0.005 // share of the first goal that no altimeter tells apart
	wideSlack = 0.05  // share of a limit beyond which more room is worth nothing
)

// least returns the planned setting, the first of both, where that keeps every
// limit; else the best with another timer alone, else with other water alone,
// else with both. Where none does it stays as planned, and is no go.
func (t *trial) least(fills, delays []float64) IfThen {
	goes := func(line IfThen) bool { return len(line.Missed) == 0 && line.Flight.Outcome == model.Landed }
	planned := t.best(fills[:1], delays[:1])
	if goes(planned) {
		return planned
	}
	for _, some := range [][2][]float64{{fills[:1], delays}, {fills, delays[:1]}, {fills, delays}} {
		if line := t.best(some[0], some[1]); goes(line) {
			return line
		}
	}
	return planned
}

// best returns the best of some settings, of which the first is as planned:
// one that keeps every limit, gives no other goal away and has most of the
// first goal. Where that hardly differs it keeps off the limits, and then to
// what was planned.
func (t *trial) best(fills, delays []float64) IfThen {
	var tries []try
	for _, fill := range fills {
		for _, delay := range delays {
			next := t.fly(fill, delay)
			if tries == nil {
				t.planned = t.minimised(&next.Flight)
			}
			next.off = math.Abs(fill-fills[0])/fills[0] + math.Abs(delay-delays[0])
			tries = append(tries, next)
		}
	}
	return bestOf(tries).IfThen
}

// bestOf returns of the tries that are worth as much as the best of them, to what
// an altimeter tells, the one furthest off the limits, of these the nearest to
// what was planned. It writes over tries.
func bestOf(tries []try) try {
	top := slices.MinFunc(tries, compareWorth)
	as := slices.DeleteFunc(tries, func(y try) bool {
		return y.violation != top.violation || y.given != top.given || y.goal > top.goal+flat*math.Abs(top.goal)
	})
	return slices.MinFunc(as, func(a, b try) int {
		return cmp.Or(slices.Compare(b.slacks, a.slacks), cmp.Compare(a.off, b.off))
	})
}

func compareWorth(a, b try) int {
	return cmp.Or(cmp.Compare(a.violation, b.violation), cmp.Compare(a.given, b.given), cmp.Compare(a.goal, b.goal))
}

// choose picks the goals that a flight decides: a quantity is as it was built.
func (t *trial) choose() {
	for _, g := range t.brief.Goals {
		if g.Quantity == nil {
			t.others = append(t.others, g)
		}
	}
	if len(t.others) == 0 {
		t.goal = brief.Goal{Metric: brief.FigureMetric(model.Apogee), Sense: brief.Highest, UpTo: math.Inf(1)}
		return
	}
	t.goal, t.others = t.others[0], t.others[1:]
}

// minimised returns the other goals of a flight, nil where it lacks one.
func (t *trial) minimised(f *model.Flight) []float64 {
	values := make([]float64, len(t.others))
	for i := range t.others {
		v, ok := f.Figure(t.others[i].Figure)
		if !ok {
			return nil
		}
		values[i] = t.others[i].Minimised(v)
	}
	return values
}

func (t *trial) fly(fill, delay float64) try {
	t.rocket.Chamber.Fill, t.rocket.Recovery.Delay = fill, delay
	f := model.Fly(&t.rocket, &t.site, t.scratch)
	next := try{IfThen: IfThen{Fill: fill, Delay: delay, Flight: f}}
	for i, slack := range t.judge.Of(&t.rocket, &t.site, &f).Slacks {
		l, share := &t.brief.Limits[i], -1.0
		if !math.IsNaN(slack) {
			share = l.Scaled(slack)
		}
		if !constraints.Kept(slack) {
			next.Missed = append(next.Missed, l.Metric.Key)
			next.violation -= share
		}
		next.slacks = append(next.slacks, min(share, wideSlack))
	}
	slices.Sort(next.slacks)
	v, ok := f.Figure(t.goal.Figure)
	if next.goal = t.goal.Minimised(v); !ok || f.Outcome != model.Landed {
		next.violation = math.Inf(1)
	}
	if givesAway(t.minimised(&f), t.planned) {
		next.given = 1
	}
	return next
}

// givesAway reports whether a goal, minimised, is worse than planned by more than
// may be given away; none is where nothing was planned.
func givesAway(goals, planned []float64) bool {
	for i, v := range planned {
		if goals != nil && goals[i] > v+givenAway*math.Abs(v) {
			return true
		}
	}
	return false
}

const (
	timerStep = 0.1 // s, to which timers are set (common practice, no source)
	timerSide = 15  // settings tried to either side of the planned one
	fillSide  = 20
	fillShare = 1.0 / 40 // of the water, a step at most
)

// fills returns the planned fill, then those of round grams around it.
func fills(b *brief.Brief, planned, volume float64) []float64 {
	water := model.WaterDensity * volume // kg of a full chamber
	return around(b, "chamber.fill", planned, roundStep(planned*water*fillShare)/water, fillSide)
}

// delays returns the planned timer setting, then those of tenths of a second
// around it and around the one that would open the canopy at the summit, in s.
func delays(b *brief.Brief, planned, summit float64) []float64 {
	values := around(b, "recovery.delay", planned, timerStep, timerSide)
	for _, v := range around(b, "recovery.delay", summit, timerStep, timerSide)[1:] {
		if !slices.Contains(values, v) {
			values = append(values, v)
		}
	}
	return values
}

// around returns a planned value, then the multiples of a step to either side
// that the brief lets the quantity have.
func around(b *brief.Brief, key string, planned, step float64, side int) []float64 {
	q := brief.QuantityByKey(key)
	low, high := q.Min, q.Max
	if i := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == key }); i >= 0 {
		if v := b.Vary[i]; v.Choices != nil {
			low, high = slices.Min(v.Choices), slices.Max(v.Choices)
		} else {
			low, high = v.From, v.To
		}
	}
	values := []float64{planned}
	middle := math.Round(planned / step)
	for k := -side; k <= side; k++ {
		if v := (middle + float64(k)) * step; v >= low && v <= high && v != planned {
			values = append(values, v)
		}
	}
	return values
}

// roundStep returns the largest of 1, 2 and 5 times a power of ten that is at
// most v.
func roundStep(v float64) float64 {
	power := math.Pow10(int(math.Floor(math.Log10(v))))
	for _, m := range []float64{5, 2} {
		if m*power <= v {
			return m * power
		}
	}
	return power
}
