package model

import (
	"math"

	"ullage/model/air"
	"ullage/model/ode"
)

const (
	maxSteps  = 20_000
	timeLimit = 3600.0 // s
)

// Fly computes one flight of a rocket at a site. It depends on nothing but its
// arguments, keeps nothing of r and site, and allocates nothing. A flight that
// cannot be computed says why in its Outcome.
func Fly(r *Rocket, site *Site, s *Scratch) Flight {
	s.reset(r, site)
	f := &s.flight
	if !fits(r, site) {
		f.Outcome = NoRoom
		return *f
	}
	s.design(r)
	end := s.rise(r, site)
	if end == 0 {
		end = s.fall()
	}
	if f.Outcome == 0 { // else a figure was not finite
		f.Outcome = end
	}
	f.Evaluations = s.ascent.Evaluations + s.descent.Evaluations
	if f.Outcome == Landed {
		s.conclude(r)
	}
	if f.Outcome != Landed {
		f.present = 0 // half a flight has no figures
	}
	return *f
}

// design sets the figures that need no flight.
func (s *Scratch) design(r *Rocket) {
	v, f := &s.vehicle, &s.flight
	f.set(DryMass, v.dry.mass)
	f.set(DryMargin, (v.lift.cp(v.lift.finSlope(0))-v.dry.cg)/v.diameter)
	f.set(LiftoffMass, v.dry.mass+waterDensity*v.water+v.charge.mass())
	f.set(Volume, v.vessel.volume)
	f.set(ProofRatio, r.Chamber.Proof/r.Chamber.Pressure)
}

// rise flies from release to opening (outcome 0) or to the ground.
func (s *Scratch) rise(r *Rocket, site *Site) Outcome {
	v, o := &s.vehicle, s.ascent
	o.Resize(ascentSize)
	clear(o.Y)
	o.Y[pitch], o.Y[water], o.Y[gas] = v.lean, v.water, site.Temperature
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
	for range maxSteps {
		limit := timeLimit
		if !s.held {
			limit = min(limit, s.moving+r.Recovery.Delay+r.Recovery.Latency)
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
		switch e {
		case eventCount:
			if t >= timeLimit {
				return TimeLimit
			}
			continue
		case stopped:
			return StuckOnGuide
		case guideExit:
			s.guided = false
			s.flight.set(GuideSpeed, last[speedGauge])
			s.resume(o, t, o.H)
			s.flight.set(GuideMargin, -s.start[marginGauge]) // the wind counts from here
			continue
		case tubeEnd:
			s.leaveTube(o.Y, t)
			s.resume(o, t, 0)
			o.H = s.firstStep(o.Y)
			continue
		case waterOut:
			s.flight.set(WaterTime, t-s.waterStart)
			s.enterGas(o.Y, t)
			s.resume(o, t, 0)
			o.H = s.firstStep(o.Y)
			continue
		case thrustOver:
			if s.held {
				return NoLiftOff
			}
			s.endThrust(o.Y, t)
			s.resume(o, t, 0)
			o.H = s.firstStep(o.Y)
			continue
		case grounded:
			s.settle(o.Y)
			s.flight.Warnings |= CanopyNotFull
			s.touch(o.Y, t)
			return Landed
		}
		s.resume(o, t, o.H)
	}
	return StepLimit
}

// stretch takes gauges and samples over the last step up to t, where event e
// stands, moves the end of the step there and returns the readings at it.
func (s *Scratch) stretch(o *ode.Solver, e event, t float64) [gaugeCount]float64 {
	var last [gaugeCount]float64
	switch {
	case t < o.T:
		last = s.readAt(o, t)
	case s.held: // looking for lift-off has moved the instant
		o.Rates(t, o.Y, s.idle[:len(o.Y)])
		last = s.read()
	default:
		last = s.read()
	}
	begin := o.T0
	if top, z, ok := s.summit(o, t); ok {
		s.observe(o, begin, top, s.readAt(o, top))
		s.top(top, z)
		if s.climbing {
			s.climbing = false
			s.tolerate(o)
		}
		if s.recording {
			s.record(o, true, top)
		}
		begin = top
	}
	s.observe(o, begin, t, last)
	if s.recording {
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
	s.start = s.read()
	s.watch(o.Y)
	if s.recording {
		s.sample(t, o.Y)
	}
}

// firstStep returns a step, in s, to try first in a phase whose first instant
// has just been computed: a share of the time in which its state changes.
func (s *Scratch) firstStep(y []float64) float64 {
	v, now := &s.vehicle, &s.now
	switch s.phase {
	case TubePhase:
		return 0.1 * math.Sqrt(2*v.tubeLength/max(now.net, 1e-3))
	case WaterPhase:
		return 0.1 * y[water] * math.Sqrt(waterDensity/(max(now.thrust, 1e-3)*v.throat))
	case GasPhase:
		return 0.1 * s.blowdown.mass / s.blowdown.choked
	default: // 0.8 radians of the pitch oscillation
		rate := 0.5 * now.density * now.airSpeed * now.airSpeed * v.section * v.diameter *
			(2 + v.lift.tailSlope + now.slope) * math.Abs(s.margin()) / now.heft.inertia
		return 0.8 / math.Sqrt(rate+1)
	}
}

// enterWater starts the water jet, or the gas jet where there is no water.
func (s *Scratch) enterWater(y []float64, t float64) {
	s.phase, s.waterStart = WaterPhase, t
	if y[water] == 0 {
		s.flight.set(WaterTime, 0)
		s.enterGas(y, t)
	}
}

// enterGas starts the gas jet: what is left in the chamber becomes ideal air.
func (s *Scratch) enterGas(y []float64, t float64) {
	v := &s.vehicle
	p, temp := v.charge.pressure(v.vessel.volume, y[gas]), y[gas]
	m := p * v.vessel.volume / (air.GasConstant * temp)
	s.blowdown = newBlowdown(p, temp, m, v.air.At(0).Pressure, v.throat, v.gasJet)
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
		f.set(WaterTime, 0)
		f.set(GasTime, 0)
	case WaterPhase:
		f.set(WaterTime, t-s.waterStart)
		f.set(GasTime, 0)
	default:
		f.set(GasTime, t-s.gasStart)
	}
	f.set(ThrustEndSpeed, math.Hypot(y[vAlong], y[vHeight]))
	f.set(ThrustEndHeight, y[height])
	f.set(ThrustEndLean, math.Atan2(y[vAlong], y[vHeight]))
	s.settle(y)
	s.phase = CoastPhase
	s.ascent.Resize(coastSize)
}

// settle freezes the mass properties at what is aboard in state y, and the
// impulse; in a coast both are settled already.
func (s *Scratch) settle(y []float64) {
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
}

// summit returns when and how high the rocket stops rising inside the last
// step up to t. The equations do not change there, so that the step may go on.
func (s *Scratch) summit(o *ode.Solver, t float64) (at, z float64, ok bool) {
	y := s.state[:len(o.Y)]
	rise := func(t float64) float64 {
		o.At(t, y)
		return y[vHeight]
	}
	first, last := o.Begin()[vHeight], o.Y[vHeight]
	if t < o.T {
		last = rise(t)
	}
	if s.guided || first <= 0 || last > 0 {
		return 0, 0, false
	}
	at = ode.Root(rise, o.T0, first, t, last, timeTolerance)
	o.At(at, y)
	return at, y[height], true
}

// top records a highest point.
func (s *Scratch) top(t, z float64) {
	if best, ok := s.flight.Figure(Apogee); !ok || z > best {
		s.flight.set(Apogee, z)
		s.flight.set(ApogeeTime, t)
	}
}

// open opens the canopy at t, wherever the rocket is.
func (s *Scratch) open(t float64) {
	y, f := s.ascent.Y, &s.flight
	s.settle(y)
	s.phase, s.guided = CanopyPhase, false
	d := s.descent.Y
	copy(d, y[:airPath])
	d[airPath] = 0
	s.climbing = false
	s.resume(s.descent, t, 0)
	s.descent.H = 0.1 * s.vehicle.filling / (s.now.airSpeed + 1)
	f.set(DeploySpeed, s.now.airSpeed)
	f.set(DeployHeight, y[height])
}

// fall flies under the canopy to the ground.
func (s *Scratch) fall() Outcome {
	o := s.descent
	opened := o.T
	if o.Y[vHeight] <= 0 {
		s.top(opened, o.Y[height])
	}
	s.full = false
	glided := false
	for range maxSteps {
		if s.full && s.Tolerance == 0 && !s.recording && !glided {
			glided = s.glide(o)
		}
		if !o.Step(min(timeLimit, s.horizon(o))) {
			return NotFinite
		}
		e, t := s.next(o)
		s.stretch(o, e, t)
		switch e {
		case eventCount:
			if t >= timeLimit {
				return TimeLimit
			}
			continue
		case canopyFull:
			s.full = true
		case grounded:
			s.touch(o.Y, t)
			if apogee, ok := s.flight.Figure(ApogeeTime); ok {
				s.flight.set(DeployLate, opened-apogee)
			}
			if o.Y[airPath] < s.vehicle.filling {
				s.flight.Warnings |= CanopyNotFull
			}
			return Landed
		}
		s.resume(o, t, o.H)
	}
	return StepLimit
}

// touch records the touch-down.
func (s *Scratch) touch(y []float64, t float64) {
	f := &s.flight
	speed := math.Hypot(y[vAlong], y[vHeight])
	if _, risen := f.Figure(Apogee); !risen { // fell within its first step
		s.top(0, 0)
	}
	f.set(FlightTime, t)
	f.set(LandingSpeed, -y[vHeight])
	f.set(TouchdownSpeed, speed)
	f.set(Drift, y[along])
	f.set(LandingEnergy, s.settled.mass*speed*speed/2)
}

// conclude turns extremes into figures and says what lies outside the model's
// domain.
func (s *Scratch) conclude(r *Rocket) {
	f := &s.flight
	for _, of := range []struct {
		gauge  gauge
		figure Figure
	}{
		{feltGauge, Acceleration},
		{speedGauge, MaxSpeed},
		{machGauge, MaxMach},
		{incidenceGauge, PeakIncidence},
		{thrustGauge, PeakThrust},
		{pullGauge, OpeningForce},
	} {
		if v := s.peaks[of.gauge]; v > lowest {
			f.set(of.figure, v)
		}
	}
	if v := s.peaks[flutterGauge]; v > 0 {
		f.set(FlutterFactor, 1/v)
	}
	if v := s.peaks[marginGauge]; v > lowest {
		f.set(Margin, -v)
		f.set(UnstableTime, s.unstable)
	}
	if force := s.peaks[pullGauge]; force > lowest {
		f.set(OpeningAcceleration, force/s.settled.mass)
		if r.Recovery.Line > 0 && force > 0 {
			f.set(LineFactor, r.Recovery.Line/force)
		}
	}
	s.warn(r)
}

// warn says where the flight left the model's domain.
func (s *Scratch) warn(r *Rocket) {
	pad := s.vehicle.air.At(0)
	reynolds := s.peaks[speedGauge] * r.Body.Length * pad.PerViscosity
	for _, w := range []struct {
		when bool
		what Warnings
	}{
		{s.peaks[machGauge] > 0.8, MachHigh},
		{s.peaks[incidenceGauge] > 15*math.Pi/180, IncidenceHigh},
		{reynolds < 1e4, ReynoldsLow},
		{r.Chamber.Fill < 0.05 || r.Chamber.Fill > 0.8, FillExtreme},
	} {
		if w.when {
			s.flight.Warnings |= w.what
		}
	}
}
