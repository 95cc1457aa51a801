package model

import (
	"math"

	"ullage/model/air"
)

// A Phase is a stage of a flight.
type Phase int

// The phases of a flight, in their order.
const (
	TubePhase Phase = iota + 1
	WaterPhase
	GasPhase
	CoastPhase
	CanopyPhase
)

var phaseNames = [...]string{TubePhase: "tube", WaterPhase: "water", GasPhase: "gas", CoastPhase: "coast", CanopyPhase: "canopy"}

// String returns the phase as it is written to files.
func (p Phase) String() string { return phaseNames[p] }

// Components of the state while ascending.
const (
	along   = iota // x, m downwind
	height         // z, m above the pad
	vAlong         // m/s
	vHeight        // m/s
	pitch          // rad from the vertical toward +x
	spin           // rad/s
	water          // m³ in the chamber; from here on only while thrust lasts
	gas            // K, the gas's temperature while water leaves; then the drive of its blowdown
	impulse        // N s of thrust so far
	ascentSize
)

const coastSize = spin + 1

// An instant is what the equations of motion work out on the way to the
// rates; the figures are read from it.
type instant struct {
	height   float64 // m
	density  float64 // kg/m³, of the air
	ambient  float64 // Pa, while thrust lasts
	heft     heft
	thrust   float64 // N
	pressure float64 // Pa, in the chamber
	airSpeed float64 // m/s
	mach     float64
	aft      float64 // m/s, relative wind along the body, positive on the nose
	side     float64 // m/s, relative wind across it
	flow     float64 // kg/s, of the jet
	surface  float64 // m, station of the water's free surface
	axial    float64 // N, force along the body, weight left out: with the guide's while held
	felt2    float64 // m²/s⁴, |a − g|²
	slope    float64 // 1/rad, normal-force slope of the fins
	net      float64 // m/s², acceleration along the guide while it guides
	ground2  float64 // m²/s², squared speed over ground
}

// A rising is a Scratch as the system of a rocket in flight or in the guide.
type rising Scratch

func (s *Scratch) ascend(y, dy []float64) { (*rising)(s).Rates(0, y, dy) }

// Rates writes the rates of the state y to dy, and leaves what it found on the
// way in now.
//
// Frame: body axis b = (sin θ, cos θ), normal n = (cos θ, −sin θ).
func (r *rising) Rates(_ float64, y, dy []float64) {
	s := (*Scratch)(r)
	v, now := &s.vehicle, &s.now
	_, _ = y[coastSize-1], dy[coastSize-1] // one check of bounds instead of many
	density, perSound, perNu := v.air.Flow(y[height])
	now.height, now.density = y[height], density
	flow := 0.0
	if s.phase < CoastPhase {
		flow = s.discharge(y, dy)
	} else {
		now.thrust, now.heft = 0, s.settled
	}

	sin, cos := sincos(y[pitch])
	ux, uz := y[vAlong], y[vHeight]
	now.ground2 = ux*ux + uz*uz
	if !s.guided {
		ux -= v.air.Wind(y[height])
		if s.gust.on {
			ux -= s.gust.wind(travel(y) - v.guide)
		}
	}
	now.aft, now.side = ux*sin+uz*cos, ux*cos-uz*sin
	speed2 := ux*ux + uz*uz
	now.airSpeed = math.Sqrt(speed2)
	now.mach = now.airSpeed * perSound

	halfRho := 0.5 * density
	cd := v.drag.coefficient(speed2, perNu, perSound)
	axial := now.thrust - halfRho*v.section*cd*now.aft*math.Abs(now.aft)
	now.axial = axial
	now.slope = v.lift.finSlope(speed2 * perSound * perSound)
	perMass, perInertia := 1/now.heft.mass, 1/now.heft.inertia

	dy[along], dy[height] = y[vAlong], y[vHeight]
	if s.guided {
		s.slide(dy, sin, cos)
		return
	}

	// Slender-body lift goes with sin α cos α, cross-flow with sin² α; tail
	// first, too, the force opposes the cross-flow.
	l, cg := &v.lift, now.heft.cg
	finArm := l.fins - cg
	lifting := halfRho * v.section * now.side * math.Abs(now.aft)
	across := halfRho * now.side * math.Abs(now.side)
	normal := lifting*(l.bodySlope+now.slope) + across*(l.side+l.finSide)
	moment := lifting*(l.bodyMoment-l.bodySlope*cg+now.slope*finArm) + across*(l.side*(l.sideAt-cg)+l.finSide*finArm)
	brake := halfRho * now.airSpeed * v.section * l.damping(now.slope, cg)
	if flow > 0 {
		brake += s.jetDamping()
	}
	moment -= y[spin] * brake

	dy[vAlong] = (axial*sin - normal*cos) * perMass
	dy[vHeight] = (axial*cos+normal*sin)*perMass - air.Gravity
	dy[pitch], dy[spin] = y[spin], moment*perInertia
	now.felt2 = (axial*axial + normal*normal) * perMass * perMass
}

// slide writes the accelerations of a rocket in the guide, which leans by an
// angle of that sine and cosine.
func (s *Scratch) slide(dy []float64, sin, cos float64) {
	now := &s.now
	now.net = now.axial/now.heft.mass - air.Gravity*cos
	a := now.net
	if s.held {
		a, now.axial = 0, now.heft.mass*air.Gravity*cos
	}
	dy[vAlong], dy[vHeight], dy[pitch], dy[spin] = a*sin, a*cos, 0, 0
	now.felt2 = a*a + air.Gravity*(2*a*cos+air.Gravity)
}

// jetDamping returns what the jet adds to the damping of the pitch rate, in
// N m s.
func (s *Scratch) jetDamping() float64 {
	le, ls := s.vehicle.exit-s.now.heft.cg, s.now.surface-s.now.heft.cg
	if s.phase == GasPhase {
		ls = 0
	}
	return s.now.flow * (le*le - ls*ls)
}

// sincos returns sine and cosine of an angle, in rad, within 1e-12: the first
// terms of the series up to half a right angle, and beyond it of what is left
// over a multiple of a right angle.
func sincos(a float64) (sin, cos float64) {
	if a <= math.Pi/4 && a >= -math.Pi/4 {
		return sincosSeries(a)
	}
	quarters := math.Floor(a*(2/math.Pi) + 0.5)
	sin, cos = sincosSeries(a - quarters*(math.Pi/2))
	switch int64(quarters) & 3 {
	case 1:
		return cos, -sin
	case 2:
		return -sin, -cos
	case 3:
		return -cos, sin
	default:
		return sin, cos
	}
}

func sincosSeries(a float64) (sin, cos float64) {
	x := a * a
	x2 := x * x
	sin = a * ((1 - x*(1./6)) + x2*((1./120-x*(1./5040))+x2*((1./362880-x*(1./39916800))+x2*(1./6227020800))))
	cos = (1 - x*(1./2)) + x2*((1./24-x*(1./720))+x2*((1./40320-x*(1./3628800))+x2*(1./479001600)))
	return sin, cos
}

// discharge works out the jet of the phase: thrust, pressure and mass
// properties, the mass flow and the station of the free surface go to s.now, the
// rates of water and gas to dy. It returns the mass flow, in kg/s.
func (s *Scratch) discharge(y, dy []float64) (flow float64) {
	v, now := &s.vehicle, &s.now
	switch s.phase {
	case TubePhase:
		room := s.tubeVolume(y)
		p, dTdV := v.charge.expand(room, y[gas])
		now.ambient = v.air.Pressure(y[height])
		now.pressure, now.thrust = p, (p-now.ambient)*v.tube
		sweep := v.tube * math.Sqrt(y[vAlong]*y[vAlong]+y[vHeight]*y[vHeight])
		dy[water], dy[gas], dy[impulse] = 0, dTdV*v.gain(sweep, room, y[gas], dTdV), now.thrust
		now.heft, now.surface = v.heft(y[water], s.aboard(y))
	case WaterPhase:
		room := v.room(y[water], 0, y[gas])
		p, dTdV := v.charge.expand(room, y[gas])
		now.ambient = v.air.Pressure(y[height])
		u := waterJet(p-now.ambient, v.jetK)
		q := v.stream * u
		flow = WaterDensity * q
		now.pressure, now.thrust = p, flow*u
		if s.spoiled {
			now.thrust = 0
		}
		dy[water], dy[gas], dy[impulse] = -q, dTdV*v.gain(q, room, y[gas], dTdV), now.thrust
		now.heft, now.surface = v.heft(y[water], v.charge.mass())
	default: // GasPhase
		b := &s.blowdown
		root, slope := v.air.PressureRoot(y[height])
		w := b.ambient * root
		q2 := y[gas]*y[gas] + w*w
		q := math.Sqrt(q2)
		flow, now.thrust = b.jet(q, w)
		m, slow := b.left(q)
		now.pressure = b.pressure * q2 * q2 * q2 * q
		dy[water], dy[impulse] = 0, now.thrust
		dy[gas] = -(q2*flow/(5*slow) + w*b.ambient*slope*y[vHeight]) / y[gas]
		now.heft, now.surface = v.heft(0, m)
	}
	now.flow = flow
	return flow
}

// gasLeft returns the gas aboard, in kg, in state y of the gas jet.
func (s *Scratch) gasLeft(y []float64) float64 {
	root, _ := s.vehicle.air.PressureRoot(y[height])
	w := s.blowdown.ambient * root
	m, _ := s.blowdown.left(math.Sqrt(y[gas]*y[gas] + w*w))
	return m
}
