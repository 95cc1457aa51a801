package model

import "ullage/model/ode"

// A free surface dips into an outlet when its height above it falls to
//
//	h_c = 0.69 (Q²/g_e)^(1/5)
//
// with Q the flow and g_e the acceleration felt along the axis (Lubin & Springer,
// J. Fluid Mech. 29 (1967) 385; from memory). From then on air comes with the
// water. Where thrust is nearly all that is felt, h_c = 0.69 (A M/ρ)^(1/5) of the
// jet's area and the rocket's mass, whatever the pressure.
//
// How much thrust such water still gives is not known: Chamber.Drawn is the share
// of it that gives none and leaves by the same law. Gas that escapes with it is
// not modelled.
const dipFactor = 0.69

// clearance is positive while a surface at height h, in m, above the outlet lies
// above the height from which air is drawn in; drawing is what the method of that
// name returns.
func clearance(h, drawing float64) float64 {
	h2 := h * h
	return h2*h2*h*drawing - dipFactor*dipFactor*dipFactor*dipFactor*dipFactor
}

// drawing returns g_e/Q², in 1/m⁵, at the instant computed last.
func (s *Scratch) drawing() float64 { return s.resisting() / s.now.heft.mass }

// resisting returns it times the mass, in kg/m⁵, which hardly changes in a step.
func (s *Scratch) resisting() float64 {
	q := s.now.flow / WaterDensity
	return s.now.axial / (q * q)
}

// startSurface looks at the surface where a stretch of the water jet begins, in
// state y, at the instant computed last.
func (s *Scratch) startSurface(y []float64) {
	if s.phase != WaterPhase || s.dipped {
		return
	}
	s.resisted = s.resisting()
	if clearance(s.vehicle.pole-s.now.surface, s.drawing()) <= 0 {
		s.drawIn(y[water], s.drawing())
	}
}

// watchSurface looks whether air is drawn in during the last step up to t, which
// is the instant computed last. Nothing need change there, so that the step may
// go on. Between its ends M g_e/Q² follows a straight line.
func (s *Scratch) watchSurface(o *ode.Solver, t float64) {
	if s.phase != WaterPhase || s.dipped {
		return
	}
	v, before, after := &s.vehicle, s.resisted, s.resisting()
	s.resisted = after
	end := clearance(v.pole-s.now.surface, s.drawing())
	if !(end <= 0) { // also NaN, where nothing flows
		return
	}
	empty := v.dry.mass + v.charge.mass()
	drawing := func(at, left float64) float64 {
		return (before + (after-before)*(at-o.T0)/(t-o.T0)) / (empty + WaterDensity*left)
	}
	level := func(at float64) float64 {
		left := o.Component(at, water)
		h, _ := v.vessel.level(left)
		return clearance(h, drawing(at, left))
	}
	at := ode.Root(level, o.T0, level(o.T0), t, end, timeTolerance)
	left := o.Component(at, water)
	s.drawIn(left, drawing(at, left))
}

// drawIn notes that air breaks through to the outlet with so much water left, in
// m³.
func (s *Scratch) drawIn(left, drawing float64) {
	s.dipped, s.dip = true, left
	s.flight.set(DrawnShare, left/s.vehicle.water)
	if clearance(s.vehicle.vessel.radius, drawing) < 0 {
		s.flight.Warnings |= OutletWide
	}
}
