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
	shearDepths  = 4    // V²/g above ground where the wind shear is too strong to follow
	glideNodes   = 6    // of the quadrature in ln z, in which the wind is an exponential
)

var glideAt, glideWeight = func() (x, w []float64) {
	x, w = make([]float64, glideNodes), make([]float64, glideNodes)
	quad.Legendre{}.FixedLocations(x, w, 0, 1)
	return x, w
}()

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

// sink returns the settled motion at height z: downward speed, and wind and
// slip, the horizontal speed beyond the wind, in m/s.
//
//	u = V²/g (w′ + w″ V²/g),  v² = V² (1 + V²/(2 g H)) − u²/2
//
// V is where drag balances weight, H = −ρ/ρ′. Both follow from the equations
// of descend in powers of V²/g over the height in which wind and density
// change; the first term left out is (V²/g z)³ of the wind.
func (s *Scratch) sink(z float64) (down, wind, slip float64) {
	v := &s.vehicle
	a := v.air.At(z)
	speed := s.terminal(&a)
	wind, slope, bend := v.air.Shear(z)
	depth := speed * speed / air.Gravity
	slip = depth * (slope + bend*depth)
	scale := air.GasConstant * a.Temperature / (air.Gravity - air.GasConstant*air.Lapse)
	return math.Sqrt(speed*speed*(1+depth/(2*scale)) - slip*slip/2), wind, slip
}

// glide takes a descent under a full canopy to the ground and returns when it
// is there, or reports that the ground is too near.
func (s *Scratch) glide(o *ode.Solver) (t float64, ok bool) {
	const step = 0.5 // of V²/g, in path: half the time constant of the horizontal speed
	v := &s.vehicle
	l := [4]float64{along: o.Y[along], height: o.Y[height], vAlong: o.Y[vAlong], vHeight: o.Y[vHeight]}
	t = o.T
	a := v.air.At(l[height])
	speed := s.terminal(&a)
	perDepth := air.Gravity / (speed * speed) // 1/m, drag over mass and the square of the airspeed
	here := perDepth                          // the same in the air of a step
	rates := func(_ float64, l [4]float64) [4]float64 {
		u := l[vAlong] - v.air.Wind(l[height])
		drag := math.Sqrt(u*u+l[vHeight]*l[vHeight]) * here
		return [4]float64{l[vAlong], l[vHeight], -drag * u, -drag*l[vHeight] - air.Gravity}
	}
	var down, wind, slip, ddown, dslip, low float64
	settled, strongest := false, 0.0 // density and the square of the airspeed
	for range maxSteps {
		down, wind, slip = s.sink(l[height])
		ddown, dslip = -l[vHeight]-down, l[vAlong]-wind-slip
		low = shearDepths * down * down / air.Gravity
		if !(l[height] > 2*low) { // also NaN
			return 0, false
		}
		settled = math.Abs(ddown) < settledShare*down && math.Abs(dslip) < settledShare*down
		if settled {
			break
		}
		density, _, _ := v.air.Flow(l[height])
		here = perDepth * density / a.Density
		u := l[vAlong] - wind
		s2 := u*u + l[vHeight]*l[vHeight]
		strongest = max(strongest, density*s2)
		h := step / (here * max(speed, math.Sqrt(s2)))
		l = rungeKutta(rates, t, h, l)
		t += h
	}
	if !settled {
		return 0, false
	}
	s.peaks[pullGauge] = max(s.peaks[pullGauge], strongest/2*v.canopy)
	// What is left of the unsettled motion dies out as e^(−2gt/V), e^(−gt/V).
	lag := down / air.Gravity
	top := l[height] - ddown*lag/2
	x := l[along] + dslip*lag
	span := math.Log(top / low)
	for i, u := range glideAt {
		z := low * math.Exp(u*span)
		v, w, k := s.sink(z)
		dt := glideWeight[i] * span * z / v
		t += dt
		x += dt * (w + k)
	}
	down, _, slip = s.sink(low)
	l = s.lastMetres(low, [4]float64{lagSlip: slip, lagDown: down, lagAlong: x, lagTime: t})
	y := o.Y
	y[along], y[height], y[vAlong], y[vHeight] = l[lagAlong], 0, v.air.Wind(0)+l[lagSlip], -l[lagDown]
	return l[lagTime], true
}

// Components of the motion in the last metres.
const (
	lagSlip  = iota // u, m/s
	lagDown         // v, m/s
	lagAlong        // x, m
	lagTime         // t, s
)

// lastMetres takes a settled descent from height z to the ground. Over the height
// fallen the equations of descend are
//
//	u′ = ∂w/∂z − s u/(D v),  v′ = g/v − s/D,  x′ = (w + u)/v,  t′ = 1/v,  s² = u² + v²
//
// with D = V²/g, which is that of the air a depth above the ground: what lies
// higher up is forgotten by then. A step is a share of D, and no more of the
// height where the wind changes with it.
func (s *Scratch) lastMetres(z float64, l [4]float64) [4]float64 {
	const (
		share = 0.5
		edge  = air.CalmHeight + 1e-9 // m, where the wind still changes
	)
	v := &s.vehicle
	a := v.air.At(z / shearDepths)
	speed := s.terminal(&a)
	depth := speed * speed / air.Gravity
	perDepth := 1 / depth
	fastest := 0.0 // s², the square of the airspeed
	rates := func(fallen float64, l [4]float64) [4]float64 {
		wind, slope, _ := v.air.Shear(-fallen)
		perV, s2 := 1/l[lagDown], l[lagSlip]*l[lagSlip]+l[lagDown]*l[lagDown]
		fastest = larger(fastest, s2)
		drag := math.Sqrt(s2) * perDepth
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
