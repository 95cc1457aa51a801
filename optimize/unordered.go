package optimize

import (
	"math"
	"slices"
)

// What moves a gene by a distance has no meaning for choices that are in no
// order: such a gene is only ever that of a parent, or any other with the same
// chance. The forms are ours.

// other returns a choice that is not x, by a number u from 0 to 1.
func (a *axis) other(x, u float64) float64 {
	y := min(math.Floor(u*a.high), a.high-1)
	if y >= x {
		y++
	}
	return y
}

// taken is for a + F (b − c): where b and c agree nothing is added.
func taken(a, b, c float64) float64 {
	if b == c {
		return a
	}
	return b
}

// chosen returns the gene of a choice, the first where x is none of them.
func (a *axis) chosen(x float64) float64 { return float64(max(slices.Index(a.choices, x), 0)) }
