package fit

import (
	"math"
	"slices"
)

// huberAt is where Huber's loss turns from squares to lines, in standard
// deviations: 95 % as efficient as squares on normal noise.
const huberAt = 1.345

// Huber is the loss of residuals in standard deviations: r² up to 1.345 of
// them, and its tangent beyond, so that what is far off pulls no harder than
// what is 1.345 off.
//
// Source: Huber, Annals of Mathematical Statistics 35 (1964) 73; the constant
// from memory, checked by its efficiency in a test.
func Huber(r float64) (cost, weight float64) {
	if a := math.Abs(r); a > huberAt {
		return huberAt * (2*a - huberAt), huberAt / a
	}
	return r * r, 1
}

// perMAD is one standard deviation of a normal distribution over its median
// absolute deviation: 1/Φ⁻¹(3/4).
const perMAD = 1.482602218505602

// spread returns the standard deviation of values about 0, judged by their
// median size, which outliers hardly move.
func spread(values []float64) float64 {
	sizes := make([]float64, len(values))
	for i, v := range values {
		sizes[i] = math.Abs(v)
	}
	return perMAD * median(sizes)
}

// median sorts values and returns the middle one, 0 where there is none.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return 0
	}
	slices.Sort(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
