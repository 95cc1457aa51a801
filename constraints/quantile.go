package constraints

import (
	"math"
	"slices"
)

// Quantile returns the p-quantile of values given in rising order, 0 ≤ p ≤ 1, by
// linear interpolation between the order statistics: the median of two values
// is their mean. It is NaN where there is no value.
//
//	h = (n − 1) p,  x₍⌊h⌋₎ + (h − ⌊h⌋)(x₍⌊h⌋₊₁₎ − x₍⌊h⌋₎), counted from 0
//
// Source: Hyndman & Fan, "Sample quantiles in statistical packages", The
// American Statistician 50(4) 361–365 (1996), definition 7.
func Quantile(rising []float64, p float64) float64 {
	n := len(rising)
	if n == 0 {
		return math.NaN()
	}
	h := float64(n-1) * p
	i := int(h)
	low, high := rising[i], rising[min(i+1, n-1)]
	return low + (h-float64(i))*(high-low)
}

// A Spread sums up how one number differs from flight to flight, in the unit of
// that number.
type Spread struct {
	Count                   int     // values
	Mean, Deviation         float64 // Deviation is the square root of the sample's variance
	P05, P10, P50, P90, P95 float64 // quantiles: 5 % of the values are below P05, and so on
}

// Spreads returns the spread of values, whose order it changes. Deviation is
// that of the sample, with n − 1, and 0 for a single value. The zero Spread is
// that of no value.
func Spreads(values []float64) Spread {
	n := len(values)
	if n == 0 {
		return Spread{}
	}
	mean, deviation := Moments(values)
	if n > 1 {
		deviation *= math.Sqrt(float64(n) / float64(n-1))
	}
	slices.Sort(values)
	return Spread{
		Count: n, Mean: mean, Deviation: deviation,
		P05: Quantile(values, 0.05), P10: Quantile(values, 0.10), P50: Quantile(values, 0.50),
		P90: Quantile(values, 0.90), P95: Quantile(values, 0.95),
	}
}

// Moments returns the mean of at least one value and their deviation about it,
// with n. It does not allocate.
func Moments(values []float64) (mean, deviation float64) {
	n := float64(len(values))
	for _, v := range values {
		mean += v - values[0] // so that equal values have themselves for a mean
	}
	mean = values[0] + mean/n
	for _, v := range values {
		deviation += float64((v - mean) * (v - mean))
	}
	return mean, math.Sqrt(deviation / n)
}

// Robust returns the slack that is left z deviations from the mean of values,
// towards the nearer bound: with normal scatter the limit is met with the
// chance that a standard normal number stays below z. Where the limit acts on
// the size, values are sizes afterwards. It does not allocate.
func (l *Limit) Robust(values []float64, z float64) float64 {
	if l.Size {
		for i, v := range values {
			values[i] = math.Abs(v)
		}
	}
	mean, deviation := Moments(values)
	return l.rounded(l.Slack(mean) - z*deviation)
}
