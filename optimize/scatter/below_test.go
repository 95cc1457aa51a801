package scatter

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestBelow holds the normal distribution against that of gonum.
func TestBelow(t *testing.T) {
	for z := -3.0; z <= 3; z += 1.0 / 64 {
		if got, want := below(z), distuv.UnitNormal.CDF(z); math.Abs(got-want) > 1e-15 {
			t.Errorf("below(%v) = %v, want %v", z, got, want)
		}
	}
}
