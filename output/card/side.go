package card

import (
	"fmt"
	"math"
	"strings"

	"ullage/model"
	"ullage/output/text"
)

// A sideView is the rocket from the side, the nose to the left, with the places
// that a builder marks off. In mm on paper.
type sideView struct {
	Width, Height    float64
	Hull             string // path
	Fins             []string
	Balance, CP      float64 // x
	Fore, Aft        float64 // x
	Tolerance        bool
	Axis, Top, Below float64 // y
}

// The most that the side view takes on paper, in mm.
const (
	sideWidth  = 186.0
	sideHeight = 34.0
)

// sideView draws body and fins to one scale.
func (c *Card) sideView() sideView {
	r, s := &c.Rocket, &c.Statics
	b, f := &r.Body, &r.Fins
	radius := b.Diameter / 2
	length := max(b.Length, f.Station+max(f.Root, f.Rake+f.Tip))
	scale := min(sideWidth/length, sideHeight/2/(radius+f.Span))
	half := (radius + f.Span) * scale
	v := sideView{Width: sideWidth, Axis: half + 6}
	v.Top, v.Below = v.Axis-half, v.Axis+half
	v.Height = v.Below + 6
	left := (sideWidth - length*scale) / 2
	at := func(x, y float64) string {
		return text.Decimals(left+x*scale, 2) + " " + text.Decimals(v.Axis-y*scale, 2)
	}
	var upper, lower []string
	add := func(x, y float64) { upper, lower = append(upper, at(x, y)), append([]string{at(x, -y)}, lower...) }
	for i := range 21 {
		x := b.Nose.Length * float64(i) / 20
		add(x, radius*meridian(&b.Nose, radius, x))
	}
	aft := radius
	if b.Tail.Length > 0 {
		add(b.Length-b.Tail.Length, radius)
		aft = b.Tail.Diameter / 2
	}
	add(b.Length, aft)
	v.Hull = "M " + strings.Join(append(upper, lower...), " L ") + " Z"
	for _, side := range []float64{1, -1} {
		y := side * radius
		v.Fins = append(v.Fins, fmt.Sprintf("M %s L %s L %s L %s Z", at(f.Station, y), at(f.Station+f.Rake, y+side*f.Span),
			at(f.Station+f.Rake+f.Tip, y+side*f.Span), at(f.Station+f.Root, y)))
	}
	v.Balance, v.CP = left+s.DryCG*scale, left+s.CP*scale
	v.Tolerance = c.Flown.Balance.Holds
	side := func(shift float64) float64 {
		if math.IsInf(shift, 1) {
			return b.Diameter
		}
		return shift
	}
	v.Fore, v.Aft = v.Balance-side(c.Flown.Balance.Fore)*scale, v.Balance+side(c.Flown.Balance.Aft)*scale
	return v
}

// meridian returns the radius of a nose over its base's, x from the tip.
func meridian(n *model.Nose, radius, x float64) float64 {
	q := x / n.Length
	switch n.Shape {
	case model.Ogive:
		rho := (radius*radius + n.Length*n.Length) / (2 * radius)
		away := n.Length - x
		return (math.Sqrt(rho*rho-away*away) + radius - rho) / radius
	case model.Ellipsoid:
		return math.Sqrt(1 - (1-q)*(1-q))
	case model.Parabola:
		return q * (2 - q)
	}
	return q
}
