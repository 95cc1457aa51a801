package model

import (
	"math"
	"testing"
)

// noseOnly measures a body that ends where its nose does: no cylinder.
func noseOnly(shape Shape, d, l float64) outline {
	return newOutline(&Body{Diameter: d, Length: l, Nose: Nose{shape, l}})
}

// Four printed digits.
func TestNosePressure(t *testing.T) {
	for _, row := range table(t, "nose_pressure.csv") {
		const d = 0.1
		o := noseOnly(Shape(row[0]), d, d*row[1])
		if got := o.noseCP / (d * row[1]); math.Abs(got-row[2]) > 5.1e-5 {
			t.Errorf("shape %v, fineness %v: %.5f, want %.4f", row[0], row[1], got, row[2])
		}
	}
	for shape, want := range map[Shape]float64{Cone: 2. / 3, Ellipsoid: 1. / 3, Parabola: 7. / 15} {
		near(t, "centre of pressure of a nose", noseOnly(shape, 0.1, 0.25).noseCP/0.25, want, 1e-8)
	}
}

// Closed forms of wetted area, side view and its centroid. The quadrature
// promises 1e-8.
func TestNoseMeasures(t *testing.T) {
	const b, l = 0.045, 0.24
	rho := (b*b + l*l) / (2 * b)
	turn := math.Asin(l / rho)
	ecc := math.Sqrt(1 - b*b/(l*l))
	for _, c := range []struct {
		name                   string
		shape                  Shape
		b, l                   float64
		wetted, side, centroid float64
	}{
		{"cone", Cone, b, l, math.Pi * b * math.Hypot(b, l), b * l, 2. / 3 * l},
		{
			"tangent ogive", Ogive, b, l, 2 * math.Pi * rho * (l - (rho-b)*turn),
			rho*rho*turn - l*(rho-b), l - (2./3*(rho*rho*rho-(rho-b)*(rho-b)*(rho-b))-(rho-b)*l*l)/(rho*rho*turn-l*(rho-b)),
		},
		{
			"half ellipsoid", Ellipsoid, b, l, math.Pi * b * (b + l*math.Asin(ecc)/ecc),
			math.Pi / 2 * b * l, l - 4*l/(3*math.Pi),
		},
		{"hemisphere as ellipsoid", Ellipsoid, b, b, 2 * math.Pi * b * b, math.Pi / 2 * b * b, b - 4*b/(3*math.Pi)},
		{"hemisphere as ogive", Ogive, b, b, 2 * math.Pi * b * b, math.Pi / 2 * b * b, b - 4*b/(3*math.Pi)},
		{"tangent parabola", Parabola, b, l, parabolaWetted(b, l), 4. / 3 * b * l, 5. / 8 * l},
	} {
		o := noseOnly(c.shape, 2*c.b, c.l)
		near(t, c.name+": wetted area", o.wetted, c.wetted, 1e-8)
		near(t, c.name+": side view", o.planform, c.side, 1e-8)
		near(t, c.name+": centroid", o.centroid, c.centroid, 1e-8)
	}
}

// parabolaWetted sums thin frustums of r = b(2u − u²): 40 000 of them are
// good to 1e-9.
func parabolaWetted(b, l float64) (area float64) {
	const n = 40_000
	r := 0.0
	for i := 1; i <= n; i++ {
		u := float64(i) / n
		next := b * (2*u - u*u)
		area += math.Pi * (r + next) * math.Hypot(l/n, next-r)
		r = next
	}
	return area
}

// A body with a tail, by hand: cylinder and frustum.
func TestOutlineWithTail(t *testing.T) {
	o := newOutline(&Body{Diameter: 0.1, Length: 1.18, Nose: Nose{Cone, 0.3}, Tail: Tail{0.08, 0.08}})
	near(t, "wetted area", o.wetted, math.Pi*(0.05*math.Hypot(0.05, 0.3)+0.1*0.8+0.09*math.Hypot(0.08, 0.01)), 1e-9)
	near(t, "side view", o.planform, 0.05*0.3+0.1*0.8+0.09*0.08, 1e-9)
	near(t, "centroid", o.centroid, (0.015*0.2+0.08*0.7+0.0072*(1.1+0.08/3*(0.05+2*0.04)/0.09))/0.1022, 1e-9)
	near(t, "base", o.base, math.Pi*0.04*0.04, 1e-14)
	// Computed: 100 to 80 mm over 80 mm from 1100 mm on.
	near(t, "tail slope", o.tailSlope, -0.72, 1e-12)
	near(t, "tail station", o.tailCP, 1.1385185, 1e-7)
	straight := newOutline(&Body{Diameter: 0.1, Length: 1.18, Nose: Nose{Cone, 0.3}, Tail: Tail{0.1, 0.08}})
	near(t, "a tail as wide as the body: side view", straight.planform, 0.05*0.3+0.1*0.88, 1e-9)
	if straight.tailSlope != 0 || math.IsNaN(straight.tailCP) {
		t.Errorf("a tail as wide as the body: slope %v at %v, want 0", straight.tailSlope, straight.tailCP)
	}
}
