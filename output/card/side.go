package card

import (
	"fmt"
	"math"
	"strings"

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
	for _, p := range b.Profile() {
		add(p[0], p[1])
	}
	v.Hull = "M " + strings.Join(append(upper, lower...), " L ") + " Z"
	for _, side := range []float64{1, -1} {
		sheet := f.Sheet(radius)
		corner := func(i int) string { return at(sheet[i][0], side*sheet[i][1]) }
		v.Fins = append(v.Fins, fmt.Sprintf("M %s L %s L %s L %s Z", corner(0), corner(1), corner(2), corner(3)))
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
