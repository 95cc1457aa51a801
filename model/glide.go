package model

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"ullage/model/air"
	"ullage/model/ode"
)

// Under a full canopy the motion is stiff but plain: the speed settles within
// metres, and then follows air and wind. Steps of known length take it to where
// it is settled, a quadrature over height most of the way down, steps again
// through the last metres, where the wind shear is strong.
const (
	settledShare = 0.04 // of the speed: how near to settled a glide may start
	leastDepths  = 2    // V²/g in which a fall forgets how it began, its drag at another speed too
	shearDepths  = 4    // V²/g above ground where the wind shear is too strong to follow
)

// Nodes are those of a quadrature from 0 to 1 after Gauss and Legendre.
type nodes struct{ at, weight []float64 }

func legendre(n int) nodes {
	g := nodes{make([]float64, n), make([]float64, n)}
	quad.Legendre{}.FixedLocations(g.at, g.weight, 0, 1)
	return g
}

var glideNodes, fewNodes = legendre(6), legendre(2)

// terminal returns the speed, in m/s, at which drag balances weight in the air a.
func (s *Scratch) terminal(a *air.State) float64 {
	v := &s.vehicle
	drive := 2 * s.settled.mass * air.Gravity / a.Density
	// The vehicle's own drag is a small part and nearly constant: that of the
	// call before will do to find the speed at which to take it.
	if s.own == 0 {
		s.own = v.section * v.drag.coefficient(drive/v.canopy, a.PerViscosity, a.PerSound)
	}
	s.own = v.section * v.drag.coefficient(drive/(v.canopy+s.own), a.PerViscosity, a.PerSound)
	return math.Sqrt(drive / (v.canopy + s.own))
}

// A pace is settled motion, in m/s: the downward speed, and the horizontal one as
// wind and the slip beyond it; and how the wind changes with height, in 1/s.
type pace struct{ down, wind, slip, slope float64 }

// sink returns the settled motion at height z.
//
//	u = V²/g (w′ + w″ V²/g),  v² = V² (1 + V²/(2 g H)) − u²/2
//
// V is where drag balances weight, H = −ρ/ρ′. Both follow from the equations
// of descend in powers of V²/g over the height in which wind and density
// change; the first term left out is (V²/g z)³ of the wind.
func (s *Scratch) sink(z float64) pace {
	v := &s.vehicle
	a := v.air.At(z)
	speed := s.terminal(&a)
	wind, slope, bend := v.air.Shear(z)
	depth := speed * speed / air.Gravity
	slip := depth * (slope + bend*depth)
	return pace{math.Sqrt(speed*speed*(1+depth/(2*densityScale(a.Temperature))) - slip*slip/2), wind, slip, slope}
}

// densityScale returns −ρ/ρ′, in m, at a temperature in K.
func densityScale(t float64) float64 {
	return air.GasConstant * t / (air.Gravity - air.GasConstant*air.Lapse)
}

// A tail is the settled part of a descent, down to the ground: that of a second
// one in the same flight differs only by where it begins.
type tail struct {
	known bool
	top   float64    // m, where it begins
	last  [4]float64 // of lagSlip and so on: speeds at the ground, way and time to it
}

// glide takes a descent under a full canopy to the ground, or reports that
// the ground is too near.
func (s *Scratch) glide(o *ode.Solver) bool {
	v, y := &s.vehicle, o.Y
	l := [4]float64{along: y[along], height: y[height], vAlong: y[vAlong], vHeight: y[vHeight]}
	l, t, p, settled := s.settleDown(l, o.T)
	last := [4]float64{lagSlip: l[vAlong] - p.wind, lagDown: -l[vHeight], lagAlong: l[along], lagTime: t}
	switch {
	case settled:
		last = s.settledDown(l, t, p)
	case l[height] > leastDepths*p.down*p.down/air.Gravity && last[lagDown] > p.down/2: // also not NaN
		last = s.lastMetres(l[height], last, 0.25)
	default:
		return false
	}
	y[along], y[height], y[vAlong], y[vHeight] = last[lagAlong], 0, v.air.Wind(0)+last[lagSlip], -last[lagDown]
	o.T = last[lagTime]
	return true
}

// settleDown takes motion l at t, in s, to where it is settled, or near the
// ground, and returns the settled motion there too.
func (s *Scratch) settleDown(l [4]float64, t float64) (_ [4]float64, when float64, p pace, settled bool) {
	const step = 0.5 // of V²/g, in path: half the time constant of the horizontal speed
	v := &s.vehicle
	a := v.air.At(l[height])
	speed := s.terminal(&a)
	perDepth := air.Gravity / (speed * speed) // 1/m, drag over mass and the square of the airspeed
	here, at := perDepth, 0.0                 // the same in the air of a step, and where that begins
	rates := func(_ float64, l [4]float64) [4]float64 {
		u := l[vAlong] - p.wind - p.slope*(l[height]-at)
		drag := math.Sqrt(u*u+l[vHeight]*l[vHeight]) * here
		return [4]float64{l[vAlong], l[vHeight], -drag * u, -drag*l[vHeight] - air.Gravity}
	}
	strongest := 0.0 // density and the square of the airspeed
	for range maxSteps {
		p = s.sink(l[height])
		if !(l[height] > 2*shearDepths*p.down*p.down/air.Gravity) { // also NaN
			break
		}
		settled = math.Abs(l[vHeight]+p.down) < settledShare*p.down && math.Abs(l[vAlong]-p.wind-p.slip) < settledShare*p.down
		if settled {
			break
		}
		density, _, _ := v.air.Flow(l[height])
		here, at = perDepth*density/a.Density, l[height]
		u := l[vAlong] - p.wind
		s2 := u*u + l[vHeight]*l[vHeight]
		strongest = max(strongest, density*s2)
		h := step / (here * max(speed, math.Sqrt(s2)))
		l = rungeKutta(rates, t, h, l)
		t += h
	}
	s.peaks[pullGauge] = max(s.peaks[pullGauge], strongest/2*v.canopy)
	return l, t, p, settled
}

// settledDown takes motion l at t, settled to p but for a little, to the ground.
func (s *Scratch) settledDown(l [4]float64, t float64, p pace) [4]float64 {
	// What is left of the unsettled motion dies out as e^(−2gt/V), e^(−gt/V).
	lag := p.down / air.Gravity
	top := l[height] + (l[vHeight]+p.down)*lag/2
	x := l[along] + (l[vAlong]-p.wind-p.slip)*lag
	e := &s.tail
	if !e.known {
		low := shearDepths * p.down * p.down / air.Gravity
		e.known, e.top = true, top
		x, t := s.settledFall(low, top, glideNodes)
		p := s.sink(low)
		e.last = s.lastMetres(low, [4]float64{lagSlip: p.slip, lagDown: p.down, lagAlong: x, lagTime: t}, 0.5)
	}
	dx, dt := 0.0, 0.0
	if top != e.top {
		dx, dt = s.settledFall(e.top, top, fewNodes)
	}
	last := e.last
	last[lagAlong] += x + dx
	last[lagTime] += t + dt
	return last
}

// settledFall returns the way downwind, in m, and the time, in s, of a settled
// fall from one height to another, in m, by a quadrature over the logarithm of
// the height, in which the wind is an exponential.
func (s *Scratch) settledFall(low, top float64, g nodes) (x, t float64) {
	span := math.Log(top / low)
	for i, u := range g.at {
		z := low * air.Exp(u*span)
		p := s.sink(z)
		dt := g.weight[i] * span * z / p.down
		t += dt
		x += dt * (p.wind + p.slip)
	}
	return x, t
}

// Components of the motion in the last metres.
const (
	lagSlip  = iota // u, m/s
	lagDown         // v, m/s
	lagAlong        // x, m
	lagTime         // t, s
)

// lastMetres takes a descent from height z to the ground. Over the height
// fallen the equations of descend are
//
//	u′ = ∂w/∂z − s u/(D v),  v′ = g/v − s/D,  x′ = (w + u)/v,  t′ = 1/v,  s² = u² + v²
//
// with D = V²/g, which goes with one over the density. A step is the share of D,
// and no more of the height where the wind changes with it.
func (s *Scratch) lastMetres(z float64, l [4]float64, share float64) [4]float64 {
	const edge = air.CalmHeight + 1e-9 // m, where the wind still changes
	v := &s.vehicle
	middle := z / shearDepths // what lies higher up is forgotten at the ground
	a := v.air.At(middle)
	speed := s.terminal(&a)
	depth := speed * speed / air.Gravity
	perDepth, perScale := 1/depth, 1/densityScale(a.Temperature)
	fastest := 0.0 // s², the square of the airspeed
	rates := func(fallen float64, l [4]float64) [4]float64 {
		wind, slope, _ := v.air.Shear(-fallen)
		perV, s2 := 1/l[lagDown], l[lagSlip]*l[lagSlip]+l[lagDown]*l[lagDown]
		fastest = larger(fastest, s2)
		drag := math.Sqrt(s2) * perDepth * (1 + (fallen+middle)*perScale)
		return [4]float64{slope - drag*l[lagSlip]*perV, air.Gravity*perV - drag, (wind + l[lagSlip]) * perV, perV}
	}
	for _, end := range [...]float64{edge, 0} {
		for z > end {
			to := max(z-share*depth, end)
			if end > 0 {
				to = max(to, (1-share)*z)
			}
			l = rungeKutta(rates, -z, z-to, l)
			z = to
		}
		z = min(z, air.CalmHeight)
	}
	s.peaks[pullGauge] = max(s.peaks[pullGauge], a.Density/2*v.canopy*fastest)
	return l
}

// rungeKutta returns y after a step of h from t by the classical method.
func rungeKutta(f func(float64, [4]float64) [4]float64, t, h float64, y [4]float64) [4]float64 {
	ahead := func(h float64, r [4]float64) [4]float64 {
		return [4]float64{y[0] + h*r[0], y[1] + h*r[1], y[2] + h*r[2], y[3] + h*r[3]}
	}
	k1 := f(t, y)
	k2 := f(t+h/2, ahead(h/2, k1))
	k3 := f(t+h/2, ahead(h/2, k2))
	k4 := f(t+h, ahead(h, k3))
	for i := range y {
		y[i] += h / 6 * (k1[i] + 2*(k2[i]+k3[i]) + k4[i])
	}
	return y
}
