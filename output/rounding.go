package output

import (
	"math"
	"strconv"
)

// decimals writes v with so many decimals.
func decimals(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }

// lossless keeps a number that is whole but for rounding from being cut to the
// next below or above.
const lossless = 1e-9

// atMost and atLeast write v with so many decimals, never beyond it: bounds on
// paper hold as they are read.
func atMost(v float64, n int) string {
	p := math.Pow10(n)
	return decimals(math.Floor(v*p+lossless)/p, n)
}

func atLeast(v float64, n int) string {
	p := math.Pow10(n)
	return decimals(math.Ceil(v*p-lossless)/p, n)
}

// barDecimals is how a pressure in bar is set: gauges show a tenth or less.
func barDecimals(bar float64) int {
	if bar < 10 {
		return 2
	}
	return 1
}

// bars writes a pressure so that setting it as read does not exceed it.
func bars(pa float64) string {
	bar := pa * workshop["Pa"].scale
	return atMost(bar, barDecimals(bar))
}

// barsAtLeast writes a pressure so that setting it as read reaches it.
func barsAtLeast(pa float64) string {
	bar := pa * workshop["Pa"].scale
	return atLeast(bar, barDecimals(bar))
}
