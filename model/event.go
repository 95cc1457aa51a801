package model

import (
	"math"

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
	tubeEnd                 // the tube has been travelled
	drawnIn                 // air breaks through to the outlet, where that changes the thrust
	thrustLost              // what is left of the water gives no thrust
	waterOut                // no water left
	thrustOver              // gas pressure down to thrustEnd × ambient
	gustPast                // a gust has been answered
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
	case tubeEnd:
		return s.phase == TubePhase && !s.held
	case drawnIn:
		return s.phase == WaterPhase && !s.dipped && s.vehicle.drawn > 0
	case thrustLost:
		return s.phase == WaterPhase && s.dipped && !s.spoiled && s.vehicle.drawn > 0
	case waterOut:
		return s.phase == WaterPhase
	case thrustOver:
		return s.phase <= GasPhase
	case gustPast:
		return s.gust.on && !s.guided && !s.gust.past
	case canopyFull:
		return s.phase == CanopyPhase && !s.full
	case calmed:
		return s.phase == CanopyPhase
	default: // grounded
		return !s.guided
	}
}

// level returns the quantity of an event, positive before it, in the state y.
func (s *Scratch) level(e event, y []float64) float64 {
	v := &s.vehicle
	switch e {
	case liftOff:
		s.ascend(y, s.idle[:])
		return -s.now.net
	case stopped:
		return y[vHeight] // the guide leans by less than a right angle
	case guideExit:
		return v.guide*v.guide - y[along]*y[along] - y[height]*y[height]
	case tubeEnd:
		return v.tubeLength*v.tubeLength - y[along]*y[along] - y[height]*y[height]
	case drawnIn:
		s.ascend(y, s.idle[:])
		return clearance(v.pole-s.now.surface, s.drawing())
	case thrustLost:
		return y[water] - v.drawn*s.dip
	case waterOut:
		return y[water]
	case thrustOver:
		if s.phase == TubePhase {
			return v.charge.pressure(s.tubeVolume(y), y[gas]) - thrustEnd*v.air.Pressure(y[height])
		}
		if s.phase == WaterPhase {
			return v.charge.pressure(v.room(y[water], 0, y[gas]), y[gas]) - thrustEnd*v.air.Pressure(y[height])
		}
		root, _ := v.air.PressureRoot(y[height])
		w := s.blowdown.ambient * root
		return y[gas]*y[gas] - endDrive*w*w
	case gustPast:
		return v.guide + s.gust.over - travel(y)
	case canopyFull:
		return v.filling - y[airPath]
	case calmed:
		return y[height] - air.CalmHeight
	default: // grounded
		return y[height]
	}
}

// overshoot is the share of a step that may lie behind the end of the water,
// where the equations mean nothing and spoil the interpolant before it.
const overshoot = 0.03

// next returns the earliest event of the last step and its time, or eventCount
// and the end of the step. A step that runs far out of water is made again to
// end just behind that event.
func (s *Scratch) next(o *ode.Solver) (event, float64) {
	e, t := s.first(o)
	if s.phase == WaterPhase && e != eventCount && o.Y[water] < -overshoot*(o.Begin()[water]-o.Y[water]) && t-o.T0 > timeTolerance {
		if o.Retake(t + overshoot/2*(t-o.T0)) {
			s.watch(o.Begin())
			return s.first(o)
		}
	}
	return e, t
}

// passes reports whether flight goes on below the level of an event: there it
// is over. Any other still stands to happen.
func (e event) passes() bool { return e == canopyFull || e == calmed }

// component returns the component of the state that is all that the level of an
// event depends on, or false.
func (e event) component() (j int, plain bool) {
	switch e {
	case stopped:
		return vHeight, true
	case thrustLost, waterOut:
		return water, true
	case canopyFull:
		return airPath, true
	case calmed, grounded:
		return height, true
	default:
		return 0, false
	}
}

// horizon returns the time that the next step is not to pass: about that of an
// event which it would otherwise overrun, or that of the largest step that is
// stable under the canopy.
func (s *Scratch) horizon(o *ode.Solver) float64 {
	v, y, dy := &s.vehicle, o.Y, o.Rate()
	h := math.Inf(1)
	if s.guided && !s.held {
		speed := math.Hypot(y[vAlong], y[vHeight])
		end := v.guide
		if s.phase == TubePhase { // no longer than the guide
			end = v.tubeLength
		}
		left := end - math.Hypot(y[along], y[height])
		a := math.Hypot(dy[vAlong], dy[vHeight])
		h = 1.05 * 2 * left / (speed + math.Sqrt(speed*speed+2*a*left))
	}
	if s.gust.on && !s.guided && travel(y)-v.guide < s.gust.length {
		h = min(h, s.gust.length/8/math.Hypot(y[vAlong], y[vHeight])) // no estimate sees a bump coming
	}
	switch s.phase {
	case WaterPhase:
		// The flow falls with the pressure, by about a 0.68th power of the volume.
		free := v.vessel.volume - y[water]
		h = min(h, -1.01*y[water]/dy[water]*(1+0.34*y[water]/free))
	case GasPhase:
		if dy[gas] < 0 {
			root, _ := v.air.PressureRoot(y[height])
			h = min(h, jetLeft(y[gas], dy[gas], s.blowdown.ambient*root))
		}
	case CoastPhase:
		if s.turnsOver(o) {
			s.tolerate(o)
			h = 0.4 // s; forces have kinks at a right angle to the air, which no estimate sees coming
		}
	case CanopyPhase:
		if s.full {
			down := max(-y[vHeight], 1e-3)
			h = 1.5 * s.now.airSpeed / air.Gravity // 3 times the time constant of the vertical speed
			if y[height] > air.CalmHeight {
				h = min(h, 1.001*(y[height]-air.CalmHeight)/down)
			} else {
				h = min(h, 1.001*y[height]/down)
			}
		} else if left := v.filling - y[airPath]; left > 0 {
			speed := dy[airPath]
			gain := (y[vAlong]*dy[vAlong] + y[vHeight]*dy[vHeight]) / speed
			if fills := 1.15 * 2 * left / (speed + math.Sqrt(max(speed*speed+2*gain*left, 0))); fills < h { // not NaN
				h = fills
			}
		}
	}
	const shortest = 1e-4 // s, where an estimate has been overtaken
	return o.T + max(h, shortest)
}

// watch notes the events that can end a stretch which starts at the state y, and
// their levels.
func (s *Scratch) watch(y []float64) {
	s.awaited = s.awaited[:0]
	for e := range eventCount {
		if s.pending(e) {
			s.awaited = append(s.awaited, e)
			s.levels[e] = s.level(e, y)
		}
	}
}

// first returns the earliest event on the interpolant of the last step.
func (s *Scratch) first(o *ode.Solver) (event, float64) {
	first, at := eventCount, o.T
	for _, e := range s.awaited {
		before := s.levels[e]
		after := s.level(e, o.Y)
		s.levels[e] = after
		if after >= 0 || before <= 0 && e.passes() {
			continue
		}
		t := o.T0
		if before > 0 { // else it is due from the start, as where two events fall together
			y := s.state[:len(o.Y)]
			t = ode.Root(func(t float64) float64 {
				if j, plain := e.component(); plain {
					y[j] = o.Component(t, j)
				} else {
					o.At(t, y)
				}
				return s.level(e, y)
			}, o.T0, before, o.T, after, timeTolerance)
		}
		if first == eventCount || t < at {
			first, at = e, t
		}
	}
	return first, at
}
