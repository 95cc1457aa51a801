package model

import "math"

// open opens the canopy at t, wherever the rocket is.
func (s *Scratch) open(t float64) {
	y, f, o := s.ascent.Y, &s.flight, s.descent
	s.settle(y, t)
	s.phase, s.guided, s.climbing = CanopyPhase, false, false
	copy(o.Y, y[:airPath])
	o.Y[airPath], o.T = 0, t
	s.descend(o.Y, s.slopes[0][:])
	f.set(DeploySpeed, s.now.airSpeed)
	f.set(DeployHeight, y[height])
	if y[vHeight] <= 0 {
		s.top(t, y[height])
	}
}

// fall flies under the canopy to the ground, from where descent stands. At the
// default tolerance it takes short cuts.
func (s *Scratch) fall() Outcome {
	o := s.descent
	s.full = false
	gliding := s.Tolerance == 0 && !s.tape.on
	if gliding && s.fillAndGlide() {
		return Landed
	}
	s.resume(o, o.T, 0)
	o.H = 0.3 * s.vehicle.filling / (s.now.airSpeed + 1)
	for step := 0; step < maxSteps && o.Evaluations < maxTries; step++ {
		if gliding && s.full && o.Y[vHeight] <= 0 {
			gliding = false
			if s.glide(o) {
				return Landed
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
			return Landed
		}
		s.resume(o, t, o.H)
	}
	return StepLimit
}

// fillAndGlide takes a canopy that has just opened to the ground by fill and
// glide, or reports that it could not, and that nothing has changed.
func (s *Scratch) fillAndGlide() bool {
	o := s.descent
	begin, t, peak := [descentSize]float64(o.Y), o.T, s.peaks[pullGauge]
	if s.fill(o) && s.glide(o) {
		s.full = true
		return true
	}
	copy(o.Y, begin[:])
	o.T, s.peaks[pullGauge] = t, peak
	return false
}

// land ends a flight whose canopy opened at a time, in s.
func (s *Scratch) land(opened float64) Outcome {
	o := s.descent
	if o.T >= timeLimit {
		return TimeLimit
	}
	f := &s.flight
	s.touch(o.Y, o.T)
	if apogee, ok := f.Figure(ApogeeTime); ok {
		f.set(DeployLate, opened-apogee)
	}
	if !s.full {
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
