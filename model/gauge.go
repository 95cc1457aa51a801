package model

import (
	"math"

	"ullage/model/ode"
)

// A gauge is a quantity whose largest value over a stretch of flight is a
// figure. Extremes are looked for inside each step, not only at its ends.
type gauge int

const (
	feltGauge      gauge = iota // m/s²
	speedGauge                  // m/s over ground
	machGauge                   // 1
	flutterGauge                // airspeed over flutter speed
	marginGauge                 // cal, negative: its largest is the smallest margin
	incidenceGauge              // rad
	thrustGauge                 // N
	pullGauge                   // N
	gaugeCount
)

const lowest = -math.MaxFloat64

// Extremes are what the gauges have shown so far.
type extremes struct {
	peaks      [gaugeCount]float64 // the largest
	start      [gaugeCount]float64 // readings at the start of a step
	before     [gaugeCount]float64 // at the start of the step before it
	beforeTime float64             // s, of that; +Inf: there was none
	gauges     []gauge             // those that count in the stretch
	unstable   float64             // s with a margin below 0
}

// read returns the gauges that are watched at the instant computed last, and 0
// for the others.
func (s *Scratch) read() (r [gaugeCount]float64) {
	v, now := &s.vehicle, &s.now
	if s.phase == CanopyPhase {
		r[pullGauge] = s.pull
		return r
	}
	r[speedGauge] = math.Sqrt(now.ground2)
	r[machGauge] = now.mach
	r[flutterGauge] = now.mach * math.Sqrt(v.air.Pressure(now.height)) * v.perFlutter
	r[feltGauge] = math.Sqrt(now.felt2)
	r[marginGauge] = -s.margin()
	if s.phase <= GasPhase || s.gust.on {
		r[incidenceGauge] = math.Atan2(math.Abs(now.side), now.aft)
		r[thrustGauge] = now.thrust
	}
	return r
}

// margin returns the static margin at the instant computed last, in calibres.
func (s *Scratch) margin() float64 {
	return (s.vehicle.lift.cp(s.now.slope) - s.now.heft.cg) / s.vehicle.diameter
}

// watched reports whether a gauge counts in the present stretch of flight.
func (s *Scratch) watched(g gauge) bool {
	switch g {
	case speedGauge, machGauge, flutterGauge:
		return s.phase != CanopyPhase
	case feltGauge:
		return s.climbing
	case marginGauge:
		return s.climbing && !s.guided
	case incidenceGauge:
		return !s.guided && (s.phase <= GasPhase || s.gust.on && s.climbing)
	case thrustGauge:
		return s.phase <= GasPhase
	default: // pullGauge
		return s.phase == CanopyPhase
	}
}

// choose notes the gauges that count in the stretch of flight that begins.
func (s *Scratch) choose() {
	s.gauges = s.gauges[:0]
	for g := range gaugeCount {
		if s.watched(g) {
			s.gauges = append(s.gauges, g)
		}
	}
}

// observe takes the gauges from begin, where they read s.start, to end, where
// they read last, inside the last step, and keeps the extremes. A curve through
// both ends, the middle and the stretch before shows where an extreme lies
// inside; it is then read there.
func (s *Scratch) observe(o *ode.Solver, begin, end float64, last [gaugeCount]float64) {
	first := s.start
	look := s.matters(&first, &last, begin, end)
	before, beforeTime := s.before, s.beforeTime
	s.before, s.beforeTime, s.start = first, begin, last
	if look == 0 {
		return
	}
	mid := (begin + end) / 2
	middle := s.readAt(o, mid)
	for g := range gaugeCount {
		if look>>g&1 == 0 {
			continue
		}
		a, m, b := first[g], middle[g], last[g]
		s.peaks[g] = max(s.peaks[g], a, m, b)
		// First the cubic, then one parabola after another: its vertex takes the
		// place of the middle, the middle that of the end which lies farther from it.
		ta, tm, tb := begin, mid, end
		t, top := vertex(beforeTime, before[g], ta, a, tm, m, tb, b)
		for range 4 {
			if !(top-s.peaks[g] > 1e-4*math.Abs(s.peaks[g])) { // the curve itself is true enough
				s.peaks[g] = larger(top, s.peaks[g])
				break
			}
			r := s.readAt(o, t)
			for _, other := range s.gauges { // speed, Mach number and flutter have theirs together
				s.peaks[other] = max(s.peaks[other], r[other])
			}
			v := r[g]
			if t < tm {
				tb, b = tm, m
			} else {
				ta, a = tm, m
			}
			tm, m = t, v
			t, top = vertex(none, 0, ta, a, tm, m, tb, b)
		}
	}
	if s.watched(marginGauge) {
		s.unstable += s.below(o, begin, mid, first[marginGauge], middle[marginGauge])
		s.unstable += s.below(o, mid, end, middle[marginGauge], last[marginGauge])
	}
}

// none stands for the time of a reading where there was no reading.
var none = math.Inf(1)

// vertex returns where the cubic through four points, the first of them before
// the others and none where there is none, has its maximum among the others, in
// rising t, and the value there, or −Inf where it has none.
func vertex(t0, y0, ta, a, tm, m, tb, b float64) (t, top float64) {
	left, right := (m-a)/(tm-ta), (b-m)/(tb-tm)
	bend := (right - left) / (tb - ta)
	twist := 0.0
	if t0 < ta {
		before := (a - y0) / (ta - t0)
		twist = (bend - (left-before)/(tm-t0)) / (tb - t0)
	}
	t = (ta+tm)/2 - left/(2*bend)
	if twist != 0 { // from the parabola's vertex by Newton's method
		for range 3 {
			slope := left + bend*(2*t-ta-tm) + twist*((t-tm)*(t-tb)+(t-ta)*(t-tb)+(t-ta)*(t-tm))
			t -= slope / (2 * (bend + twist*(3*t-ta-tm-tb)))
		}
	}
	if !(bend+twist*(3*t-ta-tm-tb) < 0 && t > ta && t < tb) {
		return tm, math.Inf(-1)
	}
	return t, m + (t-tm)*(left+(t-ta)*(bend+twist*(t-tb)))
}

// matters returns the gauges, as bits, that may have a new extreme inside a
// stretch with these readings at its ends, or a margin of 0. Between its ends no
// gauge rises above the higher one by more than it changed from end to end, and
// a little; and none is higher there than at the ends where the parabola through
// these and the start of the stretch before goes one way. What the ends read is
// kept.
func (s *Scratch) matters(first, last *[gaugeCount]float64, begin, end float64) (look uint) {
	step, gone := end-begin, begin-s.beforeTime
	turn := slant{step / gone, step / (step + gone), gone > 0}
	for _, g := range s.gauges {
		a, b := first[g], last[g]
		low, high := a, b
		if a > b {
			low, high = b, a
		}
		reach, peak := 2*high-low, s.peaks[g]
		s.peaks[g] = larger(high, peak)
		if g == marginGauge {
			if high > 0 {
				look |= 1 << g
			}
			reach += 0.05 // cal
			peak = min(peak, 0)
		} else {
			reach += 0.02 * peak
		}
		if reach >= peak && !turn.oneWay(s.before[g], a, b) {
			look |= 1 << g
		}
	}
	return look
}

// A slant is a stretch's length over that of the one before it and over that of
// both, where there was one.
type slant struct {
	perBefore, perBoth float64
	known              bool
}

// oneWay reports whether the parabola through three readings, the first of them
// at the start of the stretch before, clearly rises or falls all the way through
// the stretch between the others. It does not where there was no stretch before.
func (p slant) oneWay(before, a, b float64) bool {
	const clearly = 0.6 // of the mean slope
	rise := b - a
	tilt := (rise - (a-before)*p.perBefore) * p.perBoth // from the rise at either end's slope to the mean one
	return p.known && math.Abs(tilt) < (1-clearly)*math.Abs(rise)
}

// below returns how long the margin is negative between two times; a and b are
// the readings of its gauge there.
func (s *Scratch) below(o *ode.Solver, ta, tb, a, b float64) float64 {
	if (a > 0) == (b > 0) {
		if a > 0 {
			return tb - ta
		}
		return 0
	}
	t := ode.Root(func(t float64) float64 { return s.readAt(o, t)[marginGauge] }, ta, a, tb, b, timeTolerance)
	if a > 0 {
		return t - ta
	}
	return tb - t
}

// readAt reads the gauges at a time inside the last step.
func (s *Scratch) readAt(o *ode.Solver, t float64) [gaugeCount]float64 {
	y := s.state[:len(o.Y)]
	o.At(t, y)
	o.System.Rates(t, y, s.idle[:len(y)])
	return s.read()
}
