package model

import "math"

// open opens the canopy at t, wherever the rocket is.
func (s *Scratch) open(t float64) {
	y, f := s.ascent.Y, &s.flight
	s.settle(y, t)
	s.phase, s.guided = CanopyPhase, false
	d := s.descent.Y
	copy(d, y[:airPath])
	d[airPath] = 0
	s.climbing = false
	s.resume(s.descent, t, 0)
	s.descent.H = 0.3 * s.vehicle.filling / (s.now.airSpeed + 1)
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
	gliding := s.Tolerance == 0 && !s.tape.on
	for step := 0; step < maxSteps && o.Evaluations < maxTries; step++ {
		if gliding && s.full && o.Y[vHeight] <= 0 {
			gliding = false
			if t, ok := s.glide(o); ok {
				return s.land(o.Y, t, opened)
			}
		}
		if !o.Step(min(timeLimit, s.horizon(o))) {
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
		case canopyFull:
			s.full = true
			s.peaks[pullGauge] = max(s.peaks[pullGauge], openingPeak*last[pullGauge])
		case grounded:
			return s.land(o.Y, t, opened)
		}
		s.resume(o, t, o.H)
	}
	return StepLimit
}

// land ends a flight whose canopy opened.
func (s *Scratch) land(y []float64, t, opened float64) Outcome {
	if t >= timeLimit {
		return TimeLimit
	}
	f := &s.flight
	s.touch(y, t)
	if apogee, ok := f.Figure(ApogeeTime); ok {
		f.set(DeployLate, opened-apogee)
	}
	if y[airPath] < s.vehicle.filling {
		f.Warnings |= CanopyNotFull
	}
	return Landed
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
