package model

import (
	"ullage/model/air"
	"ullage/model/ode"
)

// timeTolerance is how well events are located, in s.
const timeTolerance = 1e-7

// An event ends a stretch of flight at the instant when its level falls
// through 0.
type event int

const (
	liftOff    event = iota // thrust exceeds weight in the guide
	stopped                 // motion along the guide ends
	guideExit               // the guide has been travelled
	waterOut                // no water left
	thrustOver              // gas pressure down to thrustEnd × ambient
	topped                  // vertical speed through 0
	canopyFull
	calmed // down to where the wind stops changing with height
	grounded
	eventCount
)

// pending reports whether an event can end the present stretch.
func (s *Scratch) pending(e event) bool {
	switch e {
	case liftOff:
		return s.held
	case stopped, guideExit:
		return s.guided && !s.held
	case waterOut:
		return s.phase == WaterPhase
	case thrustOver:
		return s.phase <= GasPhase
	case canopyFull, calmed:
		return s.phase == CanopyPhase
	default: // topped, grounded
		return !s.guided
	}
}

// level returns the quantity of an event, positive before it, in the state y.
func (s *Scratch) level(e event, y []float64) float64 {
	v := &s.vehicle
	switch e {
	case liftOff:
		s.ascend(0, y, s.idle[:])
		return -s.now.net
	case stopped:
		return y[vHeight] // the guide leans by less than a right angle
	case guideExit:
		return v.guide*v.guide - y[along]*y[along] - y[height]*y[height]
	case waterOut:
		return y[water]
	case thrustOver:
		ambient := thrustEnd * v.air.Pressure(y[height])
		if s.phase == WaterPhase {
			return v.charge.pressure(v.vessel.volume-y[water], y[gasTemp]) - ambient
		}
		return y[gasMass]*air.GasConstant*y[gasTemp]/v.vessel.volume - ambient
	case topped:
		return y[vHeight]
	case canopyFull:
		return v.filling - y[airPath]
	case calmed:
		return y[height] - air.CalmHeight
	default: // grounded
		return y[height]
	}
}

// overshoot is the share of a step that may lie behind an event at which the
// equations change: what lies behind spoils the interpolant before it.
const overshoot = 0.01

// next returns the earliest event of the last step and its time, or eventCount
// and the end of the step. A step that goes far past an event is made again to
// end just behind it.
func (s *Scratch) next(o *ode.Solver) (event, float64) {
	e, t := s.first(o)
	if e != eventCount && e != topped && o.T-t > overshoot*(t-o.T0) && t-o.T0 > timeTolerance {
		if o.Retake(t + overshoot/2*(t-o.T0)) {
			return s.first(o)
		}
	}
	return e, t
}

// passes reports whether flight goes on below the level of an event: there it
// is over. Any other still stands to happen.
func (e event) passes() bool { return e == topped || e == canopyFull || e == calmed }

// first returns the earliest event on the interpolant of the last step.
func (s *Scratch) first(o *ode.Solver) (event, float64) {
	first, at := eventCount, o.T
	for e := range eventCount {
		if !s.pending(e) {
			continue
		}
		before := s.level(e, o.Begin())
		after := s.level(e, o.Y)
		if after >= 0 || before <= 0 && e.passes() {
			continue
		}
		t := o.T0
		if before > 0 { // else it is due from the start, as where two events fall together
			y := s.state[:len(o.Y)]
			t = ode.Root(func(t float64) float64 {
				o.At(t, y)
				return s.level(e, y)
			}, o.T0, before, o.T, after, timeTolerance)
		}
		if first == eventCount || t < at {
			first, at = e, t
		}
	}
	return first, at
}
