package model

import (
	"ullage/model/air"
	"ullage/model/ode"
)

// defaultTolerance is the relative tolerance of the integrator, and
// phaseTolerance what share of it a phase keeps to: set so that every figure
// of a rocket that is never unstable comes within 0.1 % (margins within 0.002
// cal, apogee within 0.01 %) of the converged solution, with as few steps as
// that takes. What the water does is felt in all that follows.
const defaultTolerance = 1e-4

var phaseTolerance = [...]float64{TubePhase: 0.06, WaterPhase: 0.1, GasPhase: 1.5, CoastPhase: 4, CanopyPhase: 0.4}

// A Scratch holds what a flight needs while it is computed, so that flights
// after the first allocate nothing. It serves one flight at a time; its
// contents between flights mean nothing.
type Scratch struct {
	// Tolerance is the relative tolerance of the integrator in every phase. At
	// 0 flights take the default and the quadrature of a settled descent;
	// otherwise they are integrated all the way to the ground.
	Tolerance float64

	vehicle  vehicle
	ascent   *ode.Solver
	descent  *ode.Solver
	now      instant
	blowdown blowdown
	settled  heft    // of the phases in which nothing leaves
	left     float64 // m³ of water aboard in them
	pull     float64 // N, drag of the canopy
	own      float64 // m², drag area of the vehicle under a full canopy
	phase    Phase
	guided   bool    // still on the guide
	held     bool    // on the guide, thrust below weight
	climbing bool    // in the ascent: release to apogee or opening
	full     bool    // the canopy is
	dipped   bool    // air has come through to the outlet
	spoiled  bool    // the water that is left gives no thrust
	dip      float64 // m³, what was left when the air came
	resisted float64 // kg/m⁵, resisting at the start of a step
	flight   Flight

	moving               float64 // s, when the rocket first moved
	waterStart, gasStart float64 // s, when the jets began
	jetsEnd              float64 // s
	opening              float64 // s, when the canopy will open
	gust                 gust
	apex                 apex
	tail                 tail
	slopes               [4][descentSize]float64 // of plunge

	extremes
	levels      [eventCount]float64 // of the events there
	awaited     []event             // those that can end the stretch
	state, idle [ascentSize]float64 // a state inside a step; rates nobody reads

	tape recorder
}

// NewScratch returns a scratch for any number of flights, one at a time.
func NewScratch() *Scratch {
	s := &Scratch{ascent: ode.NewSolver(ascentSize), descent: ode.NewSolver(descentSize), awaited: make([]event, 0, eventCount)}
	s.gauges = make([]gauge, 0, gaugeCount)
	s.ascent.System, s.descent.System = (*rising)(s), (*falling)(s)
	return s
}

func (s *Scratch) reset(r *Rocket, site *Site) {
	s.vehicle.set(r, site)
	s.flight = Flight{}
	s.unstable, s.own = 0, 0
	s.apex.reached, s.tail.known = false, false
	for g := range s.peaks {
		s.peaks[g] = lowest
	}
	s.ascent.Evaluations, s.descent.Evaluations = 0, 0
}

// turnsOver reports whether a rocket that coasts will fall for long before its
// canopy opens, and is near the top or past it: there it may fall back on its
// tail, and a small error grows.
func (s *Scratch) turnsOver(o *ode.Solver) bool {
	const long, slow = 0.8, 10 // s, m/s
	rise := o.Y[vHeight]
	return rise < slow && s.opening-o.T-rise/air.Gravity > long
}

// tolerate sets the tolerances of the phase. Absolute ones are the relative
// one times the size of a small flight's quantities.
func (s *Scratch) tolerate(o *ode.Solver) {
	rel := s.Tolerance
	if rel == 0 {
		rel = defaultTolerance * phaseTolerance[s.phase]
		if s.phase == CoastPhase && s.turnsOver(o) { // a rocket that turns over is sensitive
			rel = defaultTolerance / 2
		}
	}
	o.Tolerate(rel)
	if s.phase == CanopyPhase {
		o.Abs[airPath] = rel
	} else {
		o.Abs[pitch], o.Abs[spin] = rel, 3*rel
		o.Abs[water], o.Abs[gas], o.Abs[impulse] = 1e-4*rel, 0, rel
	}
	o.Abs[along], o.Abs[height], o.Abs[vAlong], o.Abs[vHeight] = 10*rel, 10*rel, 3*rel, 3*rel
}
