package sweep

import (
	"fmt"
	"math"

	"ullage/optimize"
)

// The modes of a sweep, as files have them.
const (
	GridMode    = "grid"
	FrontMode   = "front" // a grid of which no rows are kept
	DrawsMode   = "draws"
	IndicesMode = "indices"
)

// A Plan is a list of designs that are known by their number.
type Plan struct {
	Size int64 // designs

	// At writes design i, 0 ≤ i < Size, into x, which has a place for each
	// variable. It may be called by several goroutines at a time.
	At func(i int64, x []float64)
}

// mostDesigns keeps a number of a design exact in a float64.
const mostDesigns = 1 << 53

// Grid lists every combination of the values of the variables, as a counter
// does: the last variable changes from design to design, the first last of all.
// It errs where a variable is continuous and where there are more than 2⁵³
// combinations.
func Grid(variables []optimize.Variable) (Plan, error) {
	counts, values := make([]int64, len(variables)), make([]func(int64) float64, len(variables))
	size := int64(1)
	for i, v := range variables {
		if counts[i], values[i] = v.Values(); counts[i] == 0 {
			return Plan{}, fmt.Errorf("%s: no step and no choices, want one of them for a grid", v.Name)
		}
		if size > mostDesigns/counts[i] {
			return Plan{}, fmt.Errorf("%s: more than 2^53 combinations, want fewer steps", v.Name)
		}
		size *= counts[i]
	}
	return Plan{Size: size, At: func(i int64, x []float64) {
		for k := len(counts) - 1; k >= 0; k-- {
			x[k] = values[k](i % counts[k])
			i /= counts[k]
		}
	}}, nil
}

// Draws lists n points of a scrambled Halton sequence, spread over the range of
// every variable: more evenly than random ones, whatever n. The values of a
// variable with steps or choices are equally likely. The first points of a long
// list are those of a short one with the same seed.
func Draws(variables []optimize.Variable, n int64, seed uint64) Plan {
	h, at := newHalton(len(variables), seed), spread(variables)
	return Plan{Size: n, At: func(i int64, x []float64) {
		for k := range x {
			x[k] = at[k](h.at(k, i))
		}
	}}
}

// spread returns, for each variable, a function that takes a share of its range,
// from 0 to 1, and returns the value there.
func spread(variables []optimize.Variable) []func(share float64) float64 {
	at := make([]func(float64) float64, len(variables))
	for k, v := range variables {
		n, value := v.Values()
		at[k] = func(u float64) float64 { return value(min(int64(math.Floor(u*float64(n))), n-1)) }
		if n == 0 {
			at[k] = func(u float64) float64 { return v.From + float64(u*(v.To-v.From)) }
		}
	}
	return at
}
