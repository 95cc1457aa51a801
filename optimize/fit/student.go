package fit

import "math"

// student returns how many deviations either side of 0 hold a share, above 0 and
// below 1, of Student's distribution with n degrees of freedom, a whole number
// of at least 1: student(0.9, 10) = 1.812. It uses no function that takes another
// path on another processor.
func student(share float64, n int) float64 {
	low, high := 0.0, math.Pi/2 // of atan(t/√n)
	for range 60 {
		mid := (low + high) / 2
		if within(mid, n) < share {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(float64(n)) * math.Tan(low)
}

// within returns the share of Student's distribution with n degrees of freedom
// that lies within ±√n tan θ.
//
//	n odd:  (2/π) (θ + sin θ (cos θ + (2/3) cos³θ + … + (2·4…(n−3))/(3·5…(n−2)) cosⁿ⁻²θ))
//	n even: sin θ (1 + (1/2) cos²θ + … + (1·3…(n−3))/(2·4…(n−2)) cosⁿ⁻²θ)
//
// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 1964,
// equations 26.7.3 and 26.7.4; from memory, checked against tables in a test.
func within(theta float64, n int) float64 {
	sin, cos := math.Sincos(theta)
	term, sum := 1.0, 1.0
	if n%2 == 1 {
		term, sum = cos, cos
		if n == 1 {
			sum = 0
		}
	}
	for k := 2 + n%2; k < n; k += 2 {
		term *= float64(k-1) / float64(k) * cos * cos
		sum += term
	}
	if n%2 == 1 {
		return 2 / math.Pi * (theta + sin*sum)
	}
	return sin * sum
}
