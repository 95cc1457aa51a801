package model

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// An outline holds what a flight needs of the body's shape.
type outline struct {
	wetted    float64 // m², of nose, cylinder and tail
	planform  float64 // m², side view
	centroid  float64 // m, station of the planform's centroid
	base      float64 // m², of the blunt aft end
	noseCP    float64 // m, station
	tailSlope float64 // 1/rad, normal-force slope of the tail; ≤ 0
	tailCP    float64 // m, station
}

// noseNodes and noseWeights integrate over s from 0 to 1; 24 Gauss–Legendre
// points give the noses' integrals to better than 1e-8.
var noseNodes, noseWeights = func() (x, w []float64) {
	x, w = make([]float64, 24), make([]float64, 24)
	quad.Legendre{}.FixedLocations(x, w, 0, 1)
	return x, w
}()

// radius returns r and dr/ds of a nose of base radius b at x = L s², a
// substitution that keeps the blunt tip of an ellipsoid smooth.
func (n *Nose) radius(b, s float64) (r, drds float64) {
	l, u := n.Length, s*s
	switch n.Shape {
	case Ogive:
		arc := (b*b + l*l) / (2 * b) // radius of the meridian
		back := l * (1 - u)
		root := math.Sqrt(arc*arc - back*back)
		return root - (arc - b), back / root * 2 * l * s
	case Ellipsoid:
		// 1 − (1−u)² = u(2−u)
		q := math.Sqrt(2 - u)
		return b * s * q, b * (q - u/q)
	case Parabola:
		return b * (2*u - u*u), b * 4 * s * (1 - u)
	default: // Cone
		return b * u, b * 2 * s
	}
}

// newOutline measures the body. The normal-force slope of a nose is 2, at
// L − volume/base area from its tip, whatever its shape (slender-body theory;
// Barrowman 1966, equation from memory).
func newOutline(body *Body) outline {
	b := body.Diameter / 2
	nose := body.Nose
	var volume, wetted, side, sideMoment float64
	for i, s := range noseNodes {
		w := noseWeights[i]
		r, dr := nose.radius(b, s)
		dx := 2 * nose.Length * s
		volume += w * math.Pi * r * r * dx
		wetted += w * 2 * math.Pi * r * math.Hypot(dx, dr)
		side += w * 2 * r * dx
		sideMoment += w * 2 * r * dx * nose.Length * s * s
	}
	cylinder := body.Length - nose.Length - body.Tail.Length
	o := outline{base: math.Pi * b * b}
	o.noseCP = nose.Length - volume/o.base
	wetted += 2 * math.Pi * b * cylinder
	side += 2 * b * cylinder
	sideMoment += 2 * b * cylinder * (nose.Length + cylinder/2)
	if tail := body.Tail; tail.Length > 0 {
		start, e := body.Length-tail.Length, tail.Diameter/2
		q := b / e
		o.base = math.Pi * e * e
		o.tailSlope = 2 * (e*e/(b*b) - 1)
		o.tailCP = start + tail.Length/3*(1+1/(1+q)) // (1−q)/(1−q²), with no gap at q = 1
		wetted += math.Pi * (b + e) * math.Hypot(tail.Length, b-e)
		side += (b + e) * tail.Length
		sideMoment += tail.Length * (start*(b+e) + tail.Length*(b+2*e)/3)
	}
	o.wetted, o.planform, o.centroid = wetted, side, sideMoment/side
	return o
}
