package model

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"ullage/model/air"
	"ullage/model/ode"
)

// Under a full canopy the speed settles within metres, and the rest of the way
// down is a quadrature over height instead of a stiff integration.
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
	drive := 2 * s.settled.mass * air.Gravity / a.Density
	speed := math.Sqrt(drive / v.canopy)
	for range 2 { // the vehicle's own drag is a small part and nearly constant
		cd := v.drag.coefficient(speed, a.PerViscosity, speed*a.PerSound)
		speed = math.Sqrt(drive / (v.canopy + v.section*cd))
	}
	wind, slope, bend := v.air.Shear(z)
	depth := speed * speed / air.Gravity
	slip = depth * (slope + bend*depth)
	scale := air.GasConstant * a.Temperature / (air.Gravity - air.GasConstant*air.Lapse)
	return math.Sqrt(speed*speed*(1+depth/(2*scale)) - slip*slip/2), wind, slip
}

// glide takes a settled descent to the height where the shear begins, and
// reports whether it did.
func (s *Scratch) glide(o *ode.Solver) bool {
	y := o.Y
	down, wind, slip := s.sink(y[height])
	ddown, dslip := -y[vHeight]-down, y[vAlong]-wind-slip
	low := shearDepths * down * down / air.Gravity
	if !(math.Abs(ddown) < settledShare*down && math.Abs(dslip) < settledShare*down && y[height] > 2*low) { // also NaN
		return false
	}
	// What is left of the unsettled motion dies out as e^(−2gt/V), e^(−gt/V).
	lag := down / air.Gravity
	top := y[height] - ddown*lag/2
	x := y[along] + dslip*lag
	t := o.T
	span := math.Log(top / low)
	for i, u := range glideAt {
		z := low * math.Exp(u*span)
		v, w, k := s.sink(z)
		dt := glideWeight[i] * span * z / v
		t += dt
		x += dt * (w + k)
	}
	down, wind, slip = s.sink(low)
	y[along], y[height], y[vAlong], y[vHeight] = x, low, wind+slip, -down
	y[airPath] += top - low // only that it is full matters from here on
	s.resume(o, t, o.H)
	return true
}
