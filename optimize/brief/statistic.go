package brief

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"

	"ullage/constraints"
)

// A Statistic is how a robust search sums up what many flights are worth to a
// goal. The zero Statistic is their mean.
type Statistic struct {
	Tenth    bool // what nine flights in ten reach or better
	Best, Of int  // the mean of the best so many of so many flights of one day; 0: of all
}

// String returns the statistic as in a brief: "mean", "p10", "best 2 of 3".
func (s Statistic) String() string {
	switch {
	case s.Tenth:
		return "p10"
	case s.Of > 0:
		return fmt.Sprintf("best %d of %d", s.Best, s.Of)
	}
	return "mean"
}

// mostOf is the most flights of one day that a goal may count.
const mostOf = 10

var bestPattern = regexp.MustCompile(`^best ([1-9]\d?) of ([1-9]\d?)$`)

// statistic reads how a goal is summed up and reports whether it could.
func (p *parser) statistic(n *node, s *Statistic) bool {
	m := bestPattern.FindStringSubmatch(n.text)
	switch {
	case n.kind == text && n.text == "mean":
	case n.kind == text && n.text == "p10":
		s.Tenth = true
	case n.kind == text && m != nil:
		s.Best, _ = strconv.Atoi(m[1])
		s.Of, _ = strconv.Atoi(m[2])
		if s.Best > s.Of || s.Of > mostOf {
			p.fault(n, n.shown(), fmt.Sprintf("no more flights than there are, and at most %d", mostOf))
			return false
		}
	default:
		p.fault(n, n.shown(), `"mean", "p10" or such as "best 2 of 3"`)
		return false
	}
	if p.find(robustTable) == nil {
		p.fault(n, "the search is not robust", robustTable)
	}
	return true
}

// ninth is the standard normal number that nine in ten stay below.
const ninth = 1.2815515655446004

// near sums up few values, smaller being better: the tenth percentile as if
// they were normal. It changes their order.
func (s Statistic) near(values, weights []float64, day int) float64 {
	if s.Tenth {
		mean, deviation := constraints.Moments(values)
		return mean + ninth*deviation
	}
	return s.exact(values, weights, day)
}

// exact sums up values, smaller being better, those of a day one behind the
// other; weights are those of bestWeights for a day. It changes their order.
func (s Statistic) exact(values, weights []float64, day int) float64 {
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
func (s Statistic) bestWeights(n int) []float64 {
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
