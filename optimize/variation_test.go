package optimize

import (
	"math"
	"math/rand"
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

// Operators are drawn in proportion to their credits, none in less than one of ten
// cases; where none has any, all alike. 20 000 draws scatter by 67 at most.
func TestOperatorsByCredit(t *testing.T) {
	var s source
	s.begin(1, purposeBreed, 0, 0)
	rng := rand.New(&s)
	const draws = 20000
	for _, row := range []struct {
		credits []float64
		want    [operators]float64
	}{
		{[]float64{0, 0, 0}, [operators]float64{1.0 / 3, 1.0 / 3, 1.0 / 3}},
		{[]float64{1, 0, 0}, [operators]float64{0.8, 0.1, 0.1}},
		{[]float64{0.2, 0.2, 0.6}, [operators]float64{0.1 + 0.7*0.2, 0.1 + 0.7*0.2, 0.1 + 0.7*0.6}},
	} {
		var got [operators]float64
		for range draws {
			got[choose(row.credits, rng)]++
		}
		for op, n := range got {
			if math.Abs(n-draws*row.want[op]) > 5*67 {
				t.Errorf("credits %v: operator %d in %v of %d draws, want %v", row.credits, op, n, draws, draws*row.want[op])
			}
		}
	}
}

// A credit is the share of children that survive, smoothed; an operator without
// children keeps its own.
func TestCredit(t *testing.T) {
	credits := []float64{0.5, 0.5, 0.5}
	credit(credits, [operators]int{4, 0, 10}, [operators]int{1, 0, 10})
	for op, want := range []float64{0.8*0.5 + 0.2*0.25, 0.5, 0.8*0.5 + 0.2} {
		if math.Abs(credits[op]-want) > 1e-15 {
			t.Errorf("operator %d: credit %v, want %v", op, credits[op], want)
		}
	}
}
