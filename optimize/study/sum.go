package study

import (
	"slices"

	"ullage/constraints"
	"ullage/optimize/brief"
)

// ninth is the standard normal number that nine in ten stay below.
const ninth = 1.2815515655446004

// near sums up few values, smaller being better: the tenth percentile as if
// they were normal. It changes their order.
func near(s brief.Statistic, values, weights []float64, day int) float64 {
	if s.Tenth {
		mean, deviation := constraints.Moments(values)
		return mean + ninth*deviation
	}
	return exact(s, values, weights, day)
}

// exact sums up values, smaller being better, those of a day one behind the
// other; weights are those of bestWeights for a day. It changes their order.
func exact(s brief.Statistic, values, weights []float64, day int) float64 {
	switch {
	case s.Tenth:
		slices.Sort(values)
		return constraints.Quantile(values, 0.9)
	case s.Of == 0:
		mean, _ := constraints.Moments(values)
		return mean
	}
	sum := 0.0
	for at := 0; at < len(values); at += day {
		flights := values[at : at+day]
		slices.Sort(flights)
		for i, w := range weights {
			sum += float64(w * flights[i])
		}
	}
	return sum / float64(len(values)/day)
}

// bestWeights returns what each of n values in rising order counts in the
// mean, over all choices of s.Of of them, of the mean of the s.Best least.
//
//	w_j = Σ_{r ≤ best} C(j−1, r−1) C(n−j, of−r) / (best C(n, of)), j from 1
func bestWeights(s brief.Statistic, n int) []float64 {
	if s.Of == 0 {
		return nil
	}
	w := make([]float64, n)
	for j := 1; j <= n; j++ {
		for r := 1; r <= s.Best; r++ {
			w[j-1] += choices(j-1, r-1) * choices(n-j, s.Of-r) / (choices(n, s.Of) * float64(s.Best))
		}
	}
	return w
}

// choices returns the number of choices of k of n, 0 where there are none. k is
// at most the flights of a day that a goal counts, ten, so that it stays far
// below the largest float.
func choices(n, k int) float64 {
	if k < 0 {
		return 0
	}
	all := 1.0 // and 0 from a factor on, where k is above n
	for i := range k {
		all *= float64(n-i) / float64(i+1)
	}
	return all
}
