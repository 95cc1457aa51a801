package air

import (
	"math"
	"testing"
)

// TestPower holds powers and exponentials against those of the standard
// library, which err by less than one in the last place.
func TestPower(t *testing.T) {
	near := func(what string, got, want, exponent float64) {
		t.Helper()
		if !(math.Abs(got/want-1) <= 1e-15*(1+math.Abs(exponent))) {
			t.Errorf("%s = %v, want %v", what, got, want)
		}
	}
	for x := 1e-12; x < 1e12; x *= 1.37 {
		for _, y := range []float64{-2.58, -1, -1. / 7, 0, 0.143, 0.2, 2. / 7, 0.19, 1, 5.2559} {
			near("Power", Power(x, y), math.Pow(x, y), y*math.Log2(x))
		}
	}
	for x := -20.0; x <= 20; x += 1. / 64 {
		near("Exp", Exp(x), math.Exp(x), x)
	}
	if Power(0, 0.5) != 0 || !math.IsNaN(Power(-1, 0.5)) || Power(math.Inf(1), -2.58) != 0 {
		t.Errorf("Power of 0, below 0 and without bound = %v, %v, %v; want 0, NaN, 0", Power(0, 0.5), Power(-1, 0.5), Power(math.Inf(1), -2.58))
	}
}
