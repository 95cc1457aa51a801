package model

import (
	"math"

	"ullage/model/air"
)

// rise flies from release to opening (outcome 0) or to the ground.
func (s *Scratch) rise(r *Rocket) Outcome {
	v, o := &s.vehicle, s.ascent
	o.Resize(ascentSize)
	clear(o.Y)
	o.Y[pitch], o.Y[water], o.Y[gas] = v.lean, v.water, v.release
	s.guided, s.held, s.climbing, s.full = true, true, true, false
	s.moving = 0
	if v.tubeLength > 0 {
		s.phase = TubePhase
	} else {
		s.enterWater(o.Y, 0)
	}
	s.resume(o, 0, 0)
	if s.held && s.phase == TubePhase { // nothing will change
		return NoLiftOff
	}
	o.H = s.firstStep(o.Y)
	for step := 0; step < maxSteps && o.Evaluations < maxTries; step++ {
		limit := timeLimit
		if !s.held && r.Recovery.Canopy > 0 {
			limit = min(limit, s.moving+r.Recovery.Delay+r.Recovery.Latency)
		}
		s.opening = limit
		if s.gustOver() {
			return 0
		}
		if o.T >= limit {
			s.open(o.T)
			return 0
		}
		if !o.Step(min(limit, s.horizon(o))) {
			return NotFinite
		}
		e, t := s.next(o)
		last := s.stretch(o, e, t)
		if e == eventCount {
			if t >= timeLimit {
				return TimeLimit
			}
			continue
		}
		if end := s.turn(e, t, last[speedGauge]); end != 0 {
			return end
		}
	}
	return StepLimit
}

// turn makes of an event at t, at a speed over ground, what it means for the
// flight, and starts what follows, or says how the flight ended.
func (s *Scratch) turn(e event, t, speed float64) Outcome {
	o := s.ascent
	switch e {
	case stopped:
		return StuckOnGuide
	case grounded:
		s.settle(o.Y, t)
		s.flight.Warnings |= CanopyNotFull
		s.touch(o.Y, t)
		return Landed
	case guideExit:
		s.guided = false
		s.flight.set(GuideSpeed, speed)
		s.resume(o, t, min(o.H, max(0.45*(t-s.moving), 1e-3))) // air forces grow with a power of the time
		s.flight.set(GuideMargin, -s.start[marginGauge])       // the wind counts from here
		if s.gust.on {
			s.gust.meet(s)
			s.watch(o.Y)
		}
		return 0
	case tubeEnd:
		s.leaveTube(o.Y, t)
	case waterOut:
		s.flight.set(WaterTime, t-s.waterStart)
		s.enterGas(o.Y, t)
	case thrustOver:
		if s.held {
			return NoLiftOff
		}
		s.endThrust(o.Y, t)
	default: // what changes no jet
		s.spoiled = s.spoiled || e == thrustLost
		s.gust.past = s.gust.past || e == gustPast
		s.resume(o, t, o.H)
		return 0
	}
	s.resume(o, t, 0)
	o.H = s.firstStep(o.Y)
	return 0
}

// firstStep returns a step, in s, to try first in a phase whose first instant
// has just been computed: a share of the time in which its state changes.
func (s *Scratch) firstStep(y []float64) float64 {
	v, now := &s.vehicle, &s.now
	switch s.phase {
	case TubePhase:
		return 0.1 * math.Sqrt(2*v.tubeLength/max(now.net, 1e-3))
	case WaterPhase:
		return 0.3 * y[water] * WaterDensity / max(now.flow, 1e-6)
	case GasPhase:
		return 0.2 * s.blowdown.mass / s.blowdown.choked
	default: // 0.8 radians of the pitch oscillation
		rate := 0.5 * now.density * now.airSpeed * now.airSpeed * v.section * v.diameter *
			(2 + v.lift.tailSlope + now.slope) * math.Abs(s.margin()) / now.heft.inertia
		return 0.8 / math.Sqrt(rate+1)
	}
}

// enterWater starts the water jet, or the gas jet where there is no water.
func (s *Scratch) enterWater(y []float64, t float64) {
	s.phase, s.waterStart = WaterPhase, t
	s.dipped, s.spoiled = false, false
	if y[water] == 0 {
		s.flight.set(WaterTime, 0)
		s.flight.set(DrawnShare, 0)
		s.enterGas(y, t)
	}
}

// enterGas starts the gas jet: what is left in the chamber becomes ideal air.
func (s *Scratch) enterGas(y []float64, t float64) {
	v := &s.vehicle
	temp := y[gas]
	room := v.room(0, 0, temp)
	p := v.charge.pressure(room, temp)
	s.blowdown = newBlowdown(p, temp, p*room/(air.GasConstant*temp), v.pad, v.gasJet, v.gasThrust)
	s.blowdown.firm, s.blowdown.soft = (v.vessel.volume-v.give*v.pad)/room, v.give*p/room
	root, _ := v.air.PressureRoot(y[height])
	w := s.blowdown.ambient * root
	y[water], y[gas] = 0, math.Sqrt(max(1-w*w, 0))
	s.phase, s.gasStart = GasPhase, t
}

// endThrust ends the jets at t; water that is left stays aboard.
func (s *Scratch) endThrust(y []float64, t float64) {
	f := &s.flight
	switch s.phase {
	case TubePhase: // spent before its end
		f.set(DrawnShare, 0)
		f.set(WaterTime, 0)
		f.set(GasTime, 0)
	case WaterPhase:
		if !s.dipped { // what is left never comes near the outlet
			f.set(DrawnShare, 0)
		}
		f.set(WaterTime, t-s.waterStart)
		f.set(GasTime, 0)
	default:
		f.set(GasTime, t-s.gasStart)
	}
	f.set(ThrustEndSpeed, math.Hypot(y[vAlong], y[vHeight]))
	f.set(ThrustEndHeight, y[height])
	f.set(ThrustEndLean, math.Atan2(y[vAlong], y[vHeight]))
	s.settle(y, t)
	s.phase = CoastPhase
	s.ascent.Resize(coastSize)
	if y[vHeight] <= 0 {
		s.crest(y, t)
	}
}

// settle freezes the mass properties at what is aboard in state y at t, and the
// impulse; in a coast both are settled already.
func (s *Scratch) settle(y []float64, t float64) {
	switch s.phase {
	case TubePhase:
		s.left = y[water]
		s.settled, _ = s.vehicle.heft(s.left, s.aboard(y))
	case WaterPhase:
		s.left = max(y[water], 0)
		s.settled, _ = s.vehicle.heft(s.left, s.vehicle.charge.mass())
	case GasPhase:
		s.left = 0
		s.settled, _ = s.vehicle.heft(0, s.gasLeft(y))
	default:
		return
	}
	s.flight.set(Impulse, y[impulse])
	s.jetsEnd = t
}
