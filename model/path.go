package model

import (
	"math"
	"slices"

	"ullage/model/ode"
)

// How many evenly spaced samples a path aims at while the jets last and after
// them; events add to them.
const (
	jetPoints  = 90
	restPoints = 180
)

// A Sample is one instant of a trajectory: SI units, angles in radians. CG, CP,
// Margin, Pitch, Incidence and Thrust mean nothing under the canopy.
type Sample struct {
	Phase        Phase
	T            float64 // s after release
	X, Z         float64 // m, downwind and above the pad
	Speed        float64 // m/s over ground
	Vertical     float64 // m/s, upward
	AirSpeed     float64 // m/s
	Mach         float64
	Pitch        float64 // rad from the vertical, + downwind
	Incidence    float64 // rad, angle of attack, unsigned
	Mass         float64 // kg
	CG, CP       float64 // m, stations
	Margin       float64 // cal
	Thrust       float64 // N
	Impulse      float64 // N s of thrust so far; 0 once it is over
	Pressure     float64 // Pa absolute, in the chamber
	Water        float64 // m³
	Acceleration float64 // m/s², felt aboard
}

// A recorder takes the samples of a flight: evenly, or at the times asked for.
type recorder struct {
	on       bool
	every    float64   // s between samples
	everyJet float64   // s, while the jets last, where it differs
	next     float64   // s
	asked    []float64 // s, the samples that are still wanted and +Inf; nil: evenly
	samples  []Sample
}

// Path flies r once more with samples: at most 300, in order of time, at both
// sides of every event and evenly between: a third of them while the jets
// last, where most happens. None is an exact copy of that before it, as where an
// event changes nothing. There are none unless the flight landed.
func Path(r *Rocket, site *Site, s *Scratch) (Flight, []Sample) {
	f := Fly(r, site, s)
	whole, ok := f.Figure(FlightTime)
	if !ok {
		return f, nil
	}
	s.tape.everyJet, s.tape.every = s.jetsEnd/jetPoints, (whole-s.jetsEnd)/restPoints
	if even := whole / (jetPoints + restPoints); s.tape.everyJet > even { // the jets last long
		s.tape.everyJet, s.tape.every = even, even
	}
	s.tape.on, s.tape.next, s.tape.samples = true, 0, nil
	Fly(r, site, s)
	s.tape.on, s.tape.everyJet = false, 0
	return f, slices.Compact(s.tape.samples)
}

// PathAt flies r once and appends to dst a sample at each of the times that
// lie between release and touch-down. The times are in s after release and
// rise. Nothing is appended unless the flight landed.
func PathAt(dst []Sample, r *Rocket, site *Site, times []float64, s *Scratch) (Flight, []Sample) {
	f, all := s.flyAt(dst, r, site, times)
	if f.Outcome != Landed {
		return f, dst
	}
	return f, all
}

// flyAt appends a sample at each of the times that the flight comes to.
func (s *Scratch) flyAt(dst []Sample, r *Rocket, site *Site, times []float64) (Flight, []Sample) {
	for len(times) > 0 && times[0] < 0 {
		times = times[1:]
	}
	s.tape.on, s.tape.asked, s.tape.samples = true, append(times[:len(times):len(times)], math.Inf(1)), dst
	s.tape.next = s.tape.asked[0]
	f := Fly(r, site, s)
	all := s.tape.samples
	s.tape.on, s.tape.asked, s.tape.samples = false, nil, nil
	return f, all
}

// record samples the last step up to t, and t itself where an event stands there.
func (s *Scratch) record(o *ode.Solver, event bool, t float64) {
	if s.tape.asked != nil {
		for ; s.tape.next < t; s.tape.asked, s.tape.next = s.tape.asked[1:], s.tape.asked[1] {
			s.readAt(o, s.tape.next)
			s.sample(s.tape.next, s.state[:len(o.Y)])
		}
		return
	}
	every := s.tape.every
	if s.phase <= GasPhase && s.tape.everyJet > 0 {
		every = s.tape.everyJet
	}
	for ; s.tape.next < t; s.tape.next += every {
		if s.tape.next > o.T0 {
			s.readAt(o, s.tape.next)
			s.sample(s.tape.next, s.state[:len(o.Y)])
		}
	}
	if event {
		s.readAt(o, t)
		s.sample(t, s.state[:len(o.Y)])
	}
}

// sample notes the instant computed last, in state y.
func (s *Scratch) sample(t float64, y []float64) {
	now := &s.now
	p := Sample{
		Phase: s.phase, T: t, X: y[along], Z: y[height],
		Speed: math.Sqrt(now.ground2), Vertical: y[vHeight], AirSpeed: now.airSpeed, Mach: now.mach,
		Mass: s.settled.mass, Acceleration: math.Sqrt(now.felt2), Pressure: s.vehicle.air.Pressure(y[height]),
	}
	if s.phase != CanopyPhase {
		p.Pitch, p.Incidence = y[pitch], math.Atan2(math.Abs(now.side), now.aft)
		p.Mass, p.CG, p.CP, p.Margin = now.heft.mass, now.heft.cg, s.vehicle.lift.cp(now.slope), s.margin()
		p.Thrust, p.Water = now.thrust, s.left
		if s.phase <= GasPhase {
			p.Water, p.Pressure, p.Impulse = y[water], now.pressure, y[impulse]
		}
	}
	s.tape.samples = append(s.tape.samples, p)
}
