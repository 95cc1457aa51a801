package model

import "math"

const (
	maxSteps  = 20_000
	maxTries  = 12*maxSteps - 7*1500 // evaluations before the last step, which is refused at most so often
	timeLimit = 3600.0               // s
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
	end := s.rise(r)
	if end == 0 {
		opened := s.descent.T
		if end = s.fall(); end == Landed {
			end = s.land(opened)
		}
	}
	if end == Landed {
		end = s.noseFirst()
	}
	if f.Outcome == 0 { // else a figure was not finite
		f.Outcome = end
	}
	f.Evaluations = s.ascent.Evaluations + s.descent.Evaluations
	if f.Outcome == Landed {
		s.conclude(r)
	}
	if r.Recovery.Canopy == 0 {
		f.Warnings &^= CanopyNotFull // there is none
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
	f.set(LiftoffMass, v.dry.mass+WaterDensity*v.water+v.charge.mass())
	f.set(Volume, v.vessel.volume)
	f.set(ProofRatio, r.Chamber.Proof/r.Chamber.Pressure)
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
