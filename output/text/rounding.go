package text

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Decimals writes v with n decimals; what rounds to nothing has no sign.
func Decimals(v float64, n int) string {
	s := strconv.FormatFloat(v, 'f', n, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Lossless keeps a number that is whole but for rounding from being cut to the
// next below or above.
const Lossless = 1e-9

// AtMost writes v with n decimals, never as more than it is: a bound on paper
// holds as it is read.
func AtMost(v float64, n int) string {
	p := math.Pow10(n)
	return Decimals(math.Floor(v*p+Lossless)/p, n)
}

// AtLeast writes v with n decimals, never as less than it is.
func AtLeast(v float64, n int) string {
	p := math.Pow10(n)
	return Decimals(math.Ceil(v*p-Lossless)/p, n)
}

// barDecimals is how a pressure in bar is set: gauges show a tenth or less.
func barDecimals(bar float64) int {
	if bar < 10 {
		return 2
	}
	return 1
}

// BarsAtMost writes a pressure in Pa in bar, as gauges show it, so that setting it
// as read does not exceed it.
func BarsAtMost(pa float64) string {
	bar := pa * workshop["Pa"].Scale
	return AtMost(bar, barDecimals(bar))
}

// BarsAtLeast writes a pressure in Pa in bar, as gauges show it, so that setting
// it as read reaches it.
func BarsAtLeast(pa float64) string {
	bar := pa * workshop["Pa"].Scale
	return AtLeast(bar, barDecimals(bar))
}

// Percent writes a share, of 1, in per cent with one decimal, cut down: a chance is
// never rounded up to a whole that it is not.
func Percent(share float64) string {
	tenths := int(share*1000 + Lossless)
	return fmt.Sprintf("%d.%d", tenths/10, tenths%10)
}
