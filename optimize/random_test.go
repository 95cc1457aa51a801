package optimize

import (
	"math"
	"math/rand"
	"testing"
)

// A normal deviate is below z with the chance ½ erfc(−z/√2). A share of n draws
// scatters by at most ½/√n; five of that are allowed.
func TestNormal(t *testing.T) {
	const n = 200000
	var s source
	s.begin(5, purposeBreed, 0, 0)
	rng := rand.New(&s)
	draws := make([]float64, n)
	for i := range draws {
		draws[i] = normal(rng)
	}
	for z := -3.0; z <= 3; z += 0.5 {
		below := 0.0
		for _, d := range draws {
			if d < z {
				below += 1.0 / n
			}
		}
		if want := math.Erfc(-z/math.Sqrt2) / 2; math.Abs(below-want) > 2.5/math.Sqrt(n) {
			t.Errorf("%.4f of the draws are below %v, want %.4f", below, z, want)
		}
	}
}
