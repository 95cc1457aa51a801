package study

import (
	"math"

	"ullage/model"
	"ullage/optimize/brief"
)

// extras are the numbers of brief.Extras, NaN where they are not there.
type extras [len(brief.Extras)]float64

// bareOf returns what extras one flight tells: what becomes of a rocket whose
// canopy never opens. f is the rocket's own flight; where that did not land
// nothing is there.
func bareOf(r *model.Rocket, s *model.Site, f *model.Flight, scratch *model.Scratch) (e extras, bare model.Flight) {
	for i := range e {
		e[i] = math.NaN()
	}
	if f.Outcome != model.Landed {
		return e, bare
	}
	bare = model.Bare(r, s, scratch)
	e[brief.BareDrift], e[brief.BareLandingSpeed], e[brief.BareLandingEnergy] = figure(&bare, model.Drift), figure(&bare, model.LandingSpeed), figure(&bare, model.LandingEnergy)
	return e, bare
}

// extraOf flies a rocket without its canopy and with other timer settings. f is
// its own flight; where that did not land nothing is there. bare is the flight
// without canopy.
func extraOf(b *brief.Brief, r *model.Rocket, s *model.Site, f *model.Flight, scratch *model.Scratch) (e extras, bare model.Flight) {
	e, bare = bareOf(r, s, f, scratch)
	if f.Outcome != model.Landed {
		return e, bare
	}
	if v, ok := model.GustIncidence(r, s, scratch); ok {
		e[brief.GustIncidence] = v
	}
	if r.Recovery.Canopy == 0 {
		return e, bare // there is no timer to set
	}
	w := window{judge: NewJudge(b), rocket: *r, site: s, scratch: scratch}
	own := r.Recovery.Delay
	if !w.holds(own) {
		return e, bare
	}
	// All settings past touch-down give the bare flight.
	last := longestDelay
	if whole, landed := bare.Figure(model.FlightTime); landed {
		last = min(last, whole)
	}
	e[brief.DeployEarliest], _ = w.edge(own, 0) // no timer is set to less
	if latest, ends := w.edge(own, max(own, last)); ends {
		e[brief.DeployLatest] = latest
	}
	return e, bare
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
	stride = math.Copysign(stride, to-from)
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
