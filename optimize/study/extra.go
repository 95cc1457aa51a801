package study

import (
	"ullage/model"
	"ullage/optimize/brief"
)

// An Extra holds the numbers of Extras, in SI; Present says which there are.
type Extra struct {
	Values  [len(brief.Extras)]float64
	Present [len(brief.Extras)]bool
}

func (e *Extra) set(i int, v float64, present bool) {
	if present {
		e.Values[i], e.Present[i] = v, true
	}
}

// Bare returns what an Extra tells by one flight: what becomes of a rocket
// whose canopy never opens. f is the rocket's own flight; where that did not
// land nothing is present.
func Bare(r *model.Rocket, s *model.Site, f *model.Flight, scratch *model.Scratch) Extra {
	e, _ := bare(r, s, f, scratch)
	return e
}

func bare(r *model.Rocket, s *model.Site, f *model.Flight, scratch *model.Scratch) (e Extra, bare model.Flight) {
	if f.Outcome != model.Landed {
		return e, bare
	}
	bare = model.Bare(r, s, scratch)
	drift, landed := bare.Figure(model.Drift)
	e.set(0, drift, landed)
	speed, landed := bare.Figure(model.LandingSpeed)
	e.set(1, speed, landed)
	return e, bare
}

// ExtraOf flies a rocket without its canopy and with other timer settings. f is
// its own flight; where that did not land nothing is present.
func ExtraOf(b *brief.Brief, r *model.Rocket, s *model.Site, f *model.Flight, scratch *model.Scratch) Extra {
	e, bare := bare(r, s, f, scratch)
	if f.Outcome != model.Landed {
		return e
	}
	w := window{judge: NewJudge(b), rocket: *r, site: s, scratch: scratch}
	own := r.Recovery.Delay
	if !w.holds(own) {
		return e
	}
	// All settings past touch-down give the bare flight.
	last := longestDelay
	if whole, landed := bare.Figure(model.FlightTime); landed {
		last = min(last, whole)
	}
	earliest, _ := w.edge(own, 0) // no timer is set to less
	e.set(2, earliest, true)
	if own < last {
		latest, ends := w.edge(own, last)
		e.set(3, latest, ends)
	}
	return e
}

const (
	longestDelay = 60.0 // s, the largest timer setting that is looked at
	delayStride  = 0.25 // s, finer than any range of settings that is of use
	delayStep    = 0.01 // s, finer than any timer is set
)

// A window is a rocket whose timer is set to one delay after another.
type window struct {
	judge   *Judge
	rocket  model.Rocket
	site    *model.Site
	scratch *model.Scratch
}

// holds reports whether every limit holds at a timer setting, in s.
func (w *window) holds(delay float64) bool {
	w.rocket.Recovery.Delay = delay
	f := model.Fly(&w.rocket, w.site, w.scratch)
	return w.judge.Of(&w.rocket, w.site, &f).Kept
}

// edge returns the last setting that holds on the way from one at which every
// limit holds to another, or false where all do.
func (w *window) edge(from, to float64) (float64, bool) {
	return Edge(from, to, delayStride, delayStep, w.holds)
}

// Edge goes by strides from a value that holds towards another and returns the
// last that holds, within step, or false where all do. So it sees the nearest
// end of the range, also where values hold again beyond it.
func Edge(from, to, stride, step float64, holds func(float64) bool) (float64, bool) {
	if to < from {
		stride = -stride
	}
	good, bad := from, from
	for good == bad {
		if good == to {
			return to, false
		}
		bad = good + stride
		if (bad-to)*stride > 0 {
			bad = to
		}
		if holds(bad) {
			good = bad
		}
	}
	for max(good-bad, bad-good) > step {
		if mid := (good + bad) / 2; holds(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good, true
}
