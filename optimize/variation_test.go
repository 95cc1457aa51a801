package optimize

import (
	"math"
	"testing"
)

// The root of every number that a draw can lead to is the library's, but for
// three units of the last place.
func TestRoot21(t *testing.T) {
	for u := 0x1p-60; u <= 2; u *= 1.003 {
		if got, want := root21(u), math.Pow(u, 1.0/21); math.Abs(got-want) > 7e-16*want {
			t.Fatalf("root21(%v) = %v, want %v", u, got, want)
		}
	}
	for _, u := range []float64{0, 1} {
		if got := root21(u); got != u {
			t.Errorf("root21(%v) = %v", u, got)
		}
	}
	if got := root21(5e-324); !(got >= 0 && got < 1e-14) {
		t.Errorf("root21 of the least number = %v, want next to nothing", got)
	}
}
