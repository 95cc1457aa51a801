package constraints

import (
	"math"
	"sort"
)

// Level is the confidence of the bounds that Chance states, each one-sided.
const Level = 0.95

// A Chance is what a number of flights tell of how often a limit is met.
type Chance struct {
	Met, Flights int // Met of Flights met it, 0 ≤ Met ≤ Flights
}

// Share returns the share of the flights that met the limit, from 0 to 1; 0 of
// no flights.
func (c Chance) Share() float64 {
	if c.Flights == 0 {
		return 0
	}
	return float64(c.Met) / float64(c.Flights)
}

// AtLeast returns the lower bound, from 0 to 1, on the chance of meeting the
// limit that holds with the confidence Level whatever the chance is; 0 where no
// flight met it. It assumes independent flights. Those of a Latin hypercube are closer to
// the chance than independent ones, but for a factor n/(n − 1) of the variance
// (Owen, "Monte Carlo variance of scrambled net quadrature", SIAM J. Numer.
// Anal. 34(5) 1884–1910 (1997)), so that the bound holds for them as well.
//
// Source: Clopper & Pearson, Biometrika 26(4) 404–413 (1934).
func (c Chance) AtLeast() float64 {
	if c.Met == 0 {
		return 0
	}
	// With the observed share as the chance, half of the time as many flights or
	// more would meet the limit, since that share is the median.
	low, high := 0.0, c.Share()
	for {
		mid := low + (high-low)/2
		if mid <= low || mid >= high {
			return low
		}
		if c.tail(mid) < 1-Level {
			low = mid
		} else {
			high = mid
		}
	}
}

// tail returns the chance that as many flights or more meet the limit, each with
// the chance p, 0 < p < 1, by summing binomial terms upward from the first. It
// has no exponential of base e in it, which is not the same on every processor.
func (c Chance) tail(p float64) float64 {
	n, k := float64(c.Flights), float64(c.Met)
	choices, _ := math.Lgamma(n + 1)
	taken, _ := math.Lgamma(k + 1)
	left, _ := math.Lgamma(n - k + 1)
	term := math.Exp2((choices-taken-left)/math.Ln2 + float64(k*math.Log2(p)) + float64((n-k)*math.Log2(1-p)))
	odds, sum := p/(1-p), 0.0
	for ; sum+term > sum; k++ { // the term after the last is 0
		sum += term
		term *= (n - k) / (k + 1) * odds
	}
	return sum
}

// Needed returns how many of so many flights must meet a limit for AtLeast to
// reach a chance between 0 and 1, and true; or a number above flights, and
// false, where not even all of them would do.
func Needed(flights int, chance float64) (met int, ok bool) {
	met = 1 + sort.Search(flights, func(i int) bool { return Chance{i + 1, flights}.AtLeast() >= chance })
	return met, met <= flights
}
