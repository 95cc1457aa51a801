package model

import (
	"math"

	"ullage/model/air"
	"ullage/model/ode"
)

// How a canopy fills, in steps of its air path.
const (
	fillSteps = 6    // at least
	fillShare = 0.4  // of the path in which the full canopy stops the rocket: the longest step
	fillMost  = 400  // steps; beyond them the integrator tries
	fillMiss  = 0.01 // of the path: how near to its end the last step comes
)

// An inflation is what stays the same over a step of the path in which a canopy
// fills: the air with its shear, and the drag of the body, as in its middle.
type inflation struct {
	perMass   float64 // m/kg of drag area, half the density over the mass
	growth    float64 // 1, drag area of the canopy over the square of the path
	body      float64 // m², drag area of the vehicle
	wind, at  float64 // m/s, at a height in m
	windSlope float64 // 1/s
}

func (s *Scratch) inflate(y *[descentSize]float64) (c inflation) {
	v := &s.vehicle
	density, perSound, perNu := v.air.Flow(y[height])
	c.perMass = 0.5 * density / s.settled.mass
	c.growth = v.canopy / (v.filling * v.filling)
	c.wind, c.windSlope, _ = v.air.Shear(y[height])
	c.at = y[height]
	u := y[vAlong] - c.wind
	c.body = v.section * v.drag.coefficient(u*u+y[vHeight]*y[vHeight], perNu, perSound)
	return c
}

// rates returns those of descend, and the horizontal airspeed, in m/s.
func (c *inflation) rates(y *[descentSize]float64) (dy [descentSize]float64, u float64) {
	u = y[vAlong] - c.wind - c.windSlope*(y[height]-c.at)
	speed := math.Sqrt(u*u + y[vHeight]*y[vHeight])
	k := c.perMass * speed * (c.growth*y[airPath]*y[airPath] + c.body)
	dy[along], dy[height], dy[vAlong], dy[vHeight], dy[airPath] = y[vAlong], y[vHeight], -k*u, -k*y[vHeight]-air.Gravity, speed
	return dy, u
}

// pull returns the canopy's drag over the mass, in m/s², and how fast it changes,
// in m/s³; dy and u are what rates returns.
func (c *inflation) pull(y, dy *[descentSize]float64, u float64) (pull, slope float64) {
	speed := dy[airPath]
	pull = c.perMass * c.growth * (y[airPath] * speed) * (y[airPath] * speed)
	faster := u*(dy[vAlong]-c.windSlope*dy[height]) + y[vHeight]*dy[vHeight] // speed times its rate
	return pull, 2 * c.perMass * c.growth * y[airPath] * (speed*speed*speed + y[airPath]*faster)
}

// step returns the state after h by the classical Runge–Kutta method; k1 are the
// rates in y.
func (c *inflation) step(y, k1 *[descentSize]float64, h float64) (z [descentSize]float64) {
	for i := range z {
		z[i] = y[i] + h/2*k1[i]
	}
	k2, _ := c.rates(&z)
	for i := range z {
		z[i] = y[i] + h/2*k2[i]
	}
	k3, _ := c.rates(&z)
	for i := range z {
		z[i] = y[i] + h*k3[i]
	}
	k4, _ := c.rates(&z)
	for i := range z {
		z[i] = y[i] + h/6*(k1[i]+2*(k2[i]+k3[i])+k4[i])
	}
	return z
}

// fill takes a canopy that has just opened to where it is full, notes the largest
// force and the top on the way, and reports whether it could: it cannot where the
// ground is near, or the rocket still rises then. The canopy's drag grows with the
// air path, so that steps are cut from that; the last may miss the end, or go back
// to it.
func (s *Scratch) fill(o *ode.Solver) bool {
	v := &s.vehicle
	y, t := [descentSize]float64(o.Y), o.T
	c := s.inflate(&y)
	longest := min(v.filling/fillSteps, fillShare/(c.perMass*v.canopy))
	k, _ := c.rates(&y)
	last, lastSlope := 0.0, 0.0
	peak := 0.0
	left := v.filling
	for step := 0; math.Abs(left) > fillMiss*v.filling; step++ {
		if step == fillMost || !(y[height] > air.CalmHeight) { // also NaN
			return false
		}
		h := fillTime(&y, &k, min(left, left/math.Ceil(left/longest)))
		middle := y
		for i := range middle {
			middle[i] += h / 2 * k[i]
		}
		c = s.inflate(&middle)
		k, _ = c.rates(&y)
		before := y
		y = c.step(&y, &k, h)
		if before[vHeight] > 0 && y[vHeight] <= 0 {
			s.topOut(&before, &y, t, h)
		}
		t += h
		var u float64
		k, u = c.rates(&y)
		pull, slope := c.pull(&y, &k, u)
		peak = larger(larger(peak, pull), between(last, pull, h*lastSlope, h*slope))
		last, lastSlope = pull, slope
		left = v.filling - y[airPath]
	}
	before, begun := y, t
	y, t = c.land(&y, &k, left, t)
	switch {
	case y[vHeight] > 0:
		return false
	case before[vHeight] > 0:
		s.topOut(&before, &y, begun, t-begun)
	}
	k, _ = c.rates(&y)
	full := c.perMass * v.canopy * k[airPath] * k[airPath]
	s.peaks[pullGauge] = max(s.peaks[pullGauge], s.settled.mass*max(peak, openingPeak*full))
	y[airPath] = v.filling
	copy(o.Y, y[:])
	o.T = t
	return true
}

// fillTime returns about how long the next part of the path takes, in s.
func fillTime(y, dy *[descentSize]float64, part float64) float64 {
	speed := dy[airPath]
	if part < 0 {
		return part / speed
	}
	faster := y[vAlong]*dy[vAlong] + y[vHeight]*dy[vHeight] // speed times its rate, but for the wind
	rate := faster / (speed + 1e-3)
	h := 2 * part / (speed + math.Sqrt(math.Max(speed*speed+2*rate*part, 0)) + 1e-3)
	return math.Min(h, 0.05+0.4*speed/air.Gravity) // a slow rocket turns to fall meanwhile
}

// land takes the rest of the path, a small share of it, by Heun's method.
func (c *inflation) land(y, dy *[descentSize]float64, left, t float64) (z [descentSize]float64, at float64) {
	h := left / dy[airPath]
	for i := range z {
		z[i] = y[i] + h*dy[i]
	}
	end, _ := c.rates(&z)
	for i := range z {
		z[i] = y[i] + h/2*(dy[i]+end[i])
	}
	return z, t + h
}

// topOut records the top of a step of h, in s, from t between two states, by the
// cubics through both: that of the speed has its zero there.
func (s *Scratch) topOut(a, b *[descentSize]float64, t, h float64) {
	left, right := a[vHeight], b[vHeight]
	rise := (b[height] - a[height]) / h
	// v = left + u (c₁ + c₂ u) is the rate of the cubic in height.
	c1, c2 := 6*rise-4*left-2*right, 3*(left+right)-6*rise
	u := left / (left - right)
	for range 4 {
		u -= (left + u*(c1+u*c2)) / (c1 + 2*u*c2)
	}
	s.top(t+u*h, a[height]+u*h*(left+u*(c1/2+u*c2/3)))
}

// between returns the largest value inside a step of a cubic with the values a
// and b at its ends and the slopes there, over the step, or −Inf where it only
// rises or falls.
func between(a, b, slopeA, slopeB float64) float64 {
	if !(slopeA > 0 && slopeB < 0) {
		return math.Inf(-1)
	}
	c2, c3 := 3*(b-a)-2*slopeA-slopeB, slopeA+slopeB-2*(b-a)
	u := slopeA / (math.Sqrt(c2*c2-3*c3*slopeA) - c2)
	return a + u*(slopeA+u*(c2+u*c3))
}
