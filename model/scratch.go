package model

import "ullage/model/ode"

// defaultTolerance is the relative tolerance of the integrator: it keeps every
// figure within 0.1 % (margins 0.002 cal) of the converged solution.
const defaultTolerance = 1e-5

// A Scratch holds what a flight needs while it is computed, so that flights
// after the first allocate nothing. It serves one flight at a time; its
// contents between flights mean nothing.
type Scratch struct {
	Tolerance float64 // relative tolerance of the integrator; 0 is the default

	vehicle  vehicle
	ascent   *ode.Solver
	descent  *ode.Solver
	now      instant
	settled  heft    // of the phases in which nothing leaves
	pull     float64 // N, drag of the canopy
	phase    Phase
	guided   bool // still on the guide
	held     bool // on the guide, thrust below weight
	climbing bool // in the ascent: release to apogee or opening
	flight   Flight

	moving, gasStart float64 // s, when the rocket first moved, when the gas jet began
	unstable         float64 // s
	peaks            [gaugeCount]float64
	start            [gaugeCount]float64 // readings at the start of a step
	state, idle      [ascentSize]float64 // a state inside a step; rates nobody reads

	recording  bool
	every      float64 // s between samples
	nextSample float64 // s
	samples    []Sample
}

// NewScratch returns a scratch for any number of flights, one at a time.
func NewScratch() *Scratch {
	s := &Scratch{ascent: ode.NewSolver(ascentSize), descent: ode.NewSolver(descentSize)}
	s.ascent.Rates, s.descent.Rates = s.ascend, s.descend
	return s
}

func (s *Scratch) reset(r *Rocket, site *Site) {
	rel := s.Tolerance
	if rel == 0 {
		rel = defaultTolerance
	}
	for i := range s.ascent.Rel {
		s.ascent.Rel[i] = rel
	}
	for i := range s.descent.Rel {
		s.descent.Rel[i] = rel
	}
	// The end of thrust is where the last 0.1 % of the overpressure goes.
	s.ascent.Rel[gasTemp], s.ascent.Rel[gasMass] = rel/10, rel/10
	// Absolute tolerances are the relative one times the size of a small
	// flight's quantities.
	copy(s.ascent.Abs, []float64{
		along: 10 * rel, height: 10 * rel, vAlong: 3 * rel, vHeight: 3 * rel, pitch: rel, spin: 3 * rel,
		water: 1e-4 * rel, gasTemp: 0, gasMass: 0, impulse: rel,
	})
	copy(s.descent.Abs, []float64{along: 10 * rel, height: 10 * rel, vAlong: 3 * rel, vHeight: 3 * rel, airPath: rel})
	s.vehicle.set(r, site)
	s.flight = Flight{}
	s.unstable = 0
	for g := range s.peaks {
		s.peaks[g] = lowest
	}
	s.ascent.Evaluations, s.descent.Evaluations = 0, 0
}
