package study

import (
	"math"
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
			w[j-1] += math.Exp(logChoose(j-1, r-1)+logChoose(n-j, s.Of-r)-logChoose(n, s.Of)) / float64(s.Best)
		}
	}
	return w
}

// logChoose returns the logarithm of the number of choices of k of n, −Inf
// where there are none.
func logChoose(n, k int) float64 {
	if k < 0 || k > n {
		return math.Inf(-1)
	}
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}
