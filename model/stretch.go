package model

import (
	"math"

	"ullage/model/ode"
)

// stretch takes gauges and samples over the last step up to t, where event e
// stands, moves the end of the step there and returns the readings at it.
func (s *Scratch) stretch(o *ode.Solver, e event, t float64) [gaugeCount]float64 {
	var last [gaugeCount]float64
	switch {
	case t < o.T:
		last = s.readAt(o, t)
	case s.held || s.pending(drawnIn): // looking for the event has moved the instant
		o.System.Rates(t, o.Y, s.idle[:len(o.Y)])
		last = s.read()
	default:
		last = s.read()
	}
	begin := o.T0
	s.watchSurface(o, t)
	if top, z, ok := s.summit(o, t); ok {
		last := s.readAt(o, top)
		s.crest(s.state[:], top)
		s.observe(o, begin, top, last)
		s.top(top, z)
		if s.climbing {
			s.climbing = false
			s.choose()
			s.tolerate(o)
		}
		if s.tape.on {
			s.record(o, true, top)
		}
		begin = top
	}
	if s.phase == CanopyPhase && !s.full { // the pull rises fast and falls: a parabola is true to half a step
		mid := (begin + t) / 2
		s.observe(o, begin, mid, s.readAt(o, mid))
		begin = mid
	}
	s.observe(o, begin, t, last)
	if s.tape.on {
		s.record(o, e != eventCount, t)
	}
	if t < o.T {
		o.Cut(t)
	}
	return last
}

// resume starts the solver at t, where the equations changed, with a first
// step h. A rocket that was held in the guide lifts off as soon as it can.
func (s *Scratch) resume(o *ode.Solver, t, h float64) {
	s.tolerate(o)
	o.Start(t, h)
	if s.held && !(s.now.net < 0) { // also NaN, which the next step refuses
		s.held, s.moving = false, t
		o.Start(t, h)
	}
	s.start, s.beforeTime = s.read(), math.Inf(1)
	s.startSurface(o.Y)
	s.watch(o.Y)
	s.choose()
	if s.tape.on && s.tape.asked == nil {
		s.sample(t, o.Y)
	}
}

// summit returns when and how high the rocket stops rising inside the last
// step up to t. The equations do not change there, so that the step may go on.
func (s *Scratch) summit(o *ode.Solver, t float64) (at, z float64, ok bool) {
	rise := func(t float64) float64 { return o.Component(t, vHeight) }
	first, last := o.Begin()[vHeight], o.Y[vHeight]
	if t < o.T {
		last = rise(t)
	}
	if s.guided || first <= 0 || last > 0 {
		return 0, 0, false
	}
	at = ode.Root(rise, o.T0, first, t, last, timeTolerance)
	return at, o.Component(at, height), true
}

// top records a highest point.
func (s *Scratch) top(t, z float64) {
	if best, ok := s.flight.Figure(Apogee); !ok || z > best {
		s.flight.set(Apogee, z)
		s.flight.set(ApogeeTime, t)
	}
}
