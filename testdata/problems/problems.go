// Package problems holds published test problems whose fronts are known, each
// with the hypervolume of its whole front. Start from All. It knows nothing of
// the search that is tried on them.
package problems

import (
	"slices"
)

// A Problem has goals that are minimised.
type Problem struct {
	Name     string
	Source   string
	From, To []float64 // of each variable
	Step     []float64 // of each variable, 0: continuous; nil: all are
	Goals    int
	Limits   int

	Reference []float64
	Volume    float64 // that all designs together dominate below Reference

	// Evaluate writes the goals of x and by how much it misses each limit, below 0
	// by how much it keeps it, and returns its distance to the nearest limit, negative where it misses one,
	// 0 where there are none.
	Evaluate func(x, goals, violations []float64) (slack float64)
}

// All returns every problem of several goals, those without limits first.
func All() []Problem {
	return []Problem{
		ZDT1(), ZDT2(), ZDT3(), ZDT4(), ZDT6(),
		DTLZ1(2), DTLZ1(3), DTLZ2(2), DTLZ2(3), DTLZ7(2), DTLZ7(3),
		BNH(), SRN(), TNK(), OSY(),
	}
}

// from0to1 returns n variables.
func from0to1(n int) (from, to []float64) { return make([]float64, n), slices.Repeat([]float64{1}, n) }

// room writes violations from distances to limits, which are negative where a
// limit is missed, and returns the smallest distance.
func room(violations []float64, distances ...float64) float64 {
	for i, d := range distances {
		violations[i] = 0 - d
	}
	return slices.Min(distances)
}
