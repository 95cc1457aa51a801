package model

import (
	"math"

	"ullage/model/air"
)

// A rocket whose mass lies behind the centre of its side area may come down on
// its side, at a fifth of the speed that it has nose first, and how far is not to
// be relied on (R. & P. Alway, Narrow Cross-section Airframe Recovery, 2000). So
// what follows the top of a flight is flown twice, as computed and nose first: a
// point mass with the drag of a rocket that meets the air head on. Figure by
// figure the worse counts; the trajectory is the one as computed.

// broadsideRatio is how much faster nose first a rocket must fall to be warned of.
const broadsideRatio = 1.5

// An apex is where a rocket that coasts stops rising, or the end of thrust where
// it no longer rises then.
type apex struct {
	reached bool
	time    float64          // s
	state   [airPath]float64 // of motion
}

// crest notes the apex, the first one.
func (s *Scratch) crest(y []float64, t float64) {
	if s.phase == CoastPhase && !s.apex.reached {
		s.apex.reached, s.apex.time = true, t
		copy(s.apex.state[:], y)
	}
}

// noseFirst flies what follows the apex of a flight that landed once more, nose
// first, and keeps the worse of both.
func (s *Scratch) noseFirst() Outcome {
	if !s.apex.reached {
		return Landed
	}
	f, o := &s.flight, s.descent
	taping := s.tape.on
	s.tape.on = false
	defer func() { s.tape.on = taping }()
	s.phase, s.guided = CanopyPhase, false
	y := o.Y
	copy(y, s.apex.state[:])
	y[airPath] = 0
	t, grounded, ok := s.dive(y, s.apex.time)
	if !ok {
		return StepLimit
	}
	own, opened := f.Figure(DeploySpeed)
	if !opened {
		own, _ = f.Figure(LandingSpeed)
	}
	speed := s.now.airSpeed
	if grounded {
		speed = -y[vHeight]
	}
	if speed > broadsideRatio*own {
		f.Warnings |= Broadside
	}
	switch {
	case grounded:
		f.Warnings |= CanopyNotFull
		f.drop(DeploySpeed, DeployHeight, DeployLate)
		s.peaks[pullGauge] = lowest
		s.worsen(y)
	case opened:
		f.raise(DeploySpeed, speed)
		if low, _ := f.Figure(DeployHeight); y[height] < low {
			f.set(DeployHeight, y[height])
		}
		if speed > own {
			return s.openNoseFirst(t)
		}
	}
	return Landed
}

// openNoseFirst opens the canopy of the rocket that falls nose first, at t.
func (s *Scratch) openNoseFirst(t float64) Outcome {
	s.descent.T, s.descent.Y[airPath] = t, 0
	if end := s.fall(); end != Landed {
		return end
	}
	if !s.full {
		s.flight.Warnings |= CanopyNotFull
	}
	s.worsen(s.descent.Y)
	return Landed
}

// worsen keeps the worse of a touch-down in state y and the one before.
func (s *Scratch) worsen(y []float64) {
	f := &s.flight
	speed := math.Sqrt(y[vAlong]*y[vAlong] + y[vHeight]*y[vHeight])
	f.raise(LandingSpeed, -y[vHeight])
	f.raise(TouchdownSpeed, speed)
	f.raise(LandingEnergy, s.settled.mass*speed*speed/2)
	if x, _ := f.Figure(Drift); math.Abs(y[along]) > math.Abs(x) {
		f.set(Drift, y[along])
	}
}

// dive takes a point mass with the vehicle's drag from state y at t to the
// opening or to the ground, and returns when it is there, or reports that it took
// too long. A step is no longer than a share of the time in which drag, at the
// speed at its end, would change the motion.
func (s *Scratch) dive(y []float64, t float64) (at float64, grounded, ok bool) {
	const (
		step  = 0.8 // s, at the default tolerance
		share = 0.35
	)
	longest := step
	if s.Tolerance > 0 { // an error of fourth order
		longest *= math.Sqrt(math.Sqrt(s.Tolerance / defaultTolerance))
	}
	perPath := s.dragPerPath(y[height])
	filling := s.vehicle.filling
	s.vehicle.filling, s.full = math.Inf(1), false // no canopy
	defer func() { s.vehicle.filling = filling }()
	k := &s.slopes
	for range maxSteps {
		s.descend(y, k[0][:])
		if !(t < s.opening) {
			return t, false, true
		}
		h := min(longest, s.opening-t)
		if v := s.now.airSpeed; perPath*(v+air.Gravity*h)*h > share {
			h = (math.Sqrt(v*v+4*air.Gravity*share/perPath) - v) / (2 * air.Gravity)
		}
		before := [descentSize]float64(y)
		s.plunge(y, before[:], h)
		t += h
		if !(y[height] >= 0) { // also NaN
			u := crossing(before[height], y[height], h*before[vHeight], h*y[vHeight])
			s.plunge(y, before[:], u*h)
			t += (u - 1) * h
			s.descend(y, k[0][:])
			left := -y[height] / y[vHeight]
			for i := range y {
				y[i] += left * k[0][i]
			}
			return t + left, true, true
		}
	}
	return t, false, false
}

// dragPerPath returns the drag over the mass and the square of the airspeed, in
// 1/m, that falls from a height have, in m.
func (s *Scratch) dragPerPath(z float64) float64 {
	const speed = 10 // m/s
	v := &s.vehicle
	density, perSound, perNu := v.air.Flow(z)
	return 0.5 * density * v.section * v.drag.coefficient(speed*speed, perNu, perSound) / s.settled.mass
}

// plunge writes to y the state after a step of h from the state before, whose
// rates are s.slopes[0], by the classical Runge–Kutta method.
func (s *Scratch) plunge(y, before []float64, h float64) {
	k := &s.slopes
	for i := range y {
		y[i] = before[i] + h/2*k[0][i]
	}
	s.descend(y, k[1][:])
	for i := range y {
		y[i] = before[i] + h/2*k[1][i]
	}
	s.descend(y, k[2][:])
	for i := range y {
		y[i] = before[i] + h*k[2][i]
	}
	s.descend(y, k[3][:])
	for i := range y {
		y[i] = before[i] + h/6*(k[0][i]+2*(k[1][i]+k[2][i])+k[3][i])
	}
}

// crossing returns the share of a step at which a cubic falls through 0 that has
// the values a ≥ 0 and b < 0 at its ends and the slopes there, over the step.
func crossing(a, b, slopeA, slopeB float64) float64 {
	low, high := 0.0, 1.0
	for range 30 {
		u := (low + high) / 2
		rest := 1 - u
		v := a*rest*rest*(1+2*u) + slopeA*u*rest*rest + b*u*u*(3-2*u) - slopeB*u*u*rest
		if v > 0 {
			low = u
		} else {
			high = u
		}
	}
	return high
}
