package answers

import (
	"math"
	"slices"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// TestNeighbours are the next choices to either side, the larger first.
func TestNeighbours(t *testing.T) {
	for _, row := range []struct{ value, up, down float64 }{{3, 4, 0}, {4, 6, 3}, {6, 0, 4}, {2, 3, 0}, {7, 0, 6}, {5, 6, 4}} {
		var want []float64
		for _, v := range []float64{row.up, row.down} {
			if v != 0 {
				want = append(want, v)
			}
		}
		if got := neighbours([]float64{6, 3, 4}, row.value); !slices.Equal(got, want) {
			t.Errorf("beside %v: %v, want %v", row.value, got, want)
		}
	}
}

// TestOwnSteps takes the step and the choices of [vary], and none of what is
// not changed at a bench.
func TestOwnSteps(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	of := func(key string, value float64) []float64 {
		return workshopSteps(b, brief.MustQuantity(key), &b.Rocket, value)
	}
	b.Vary = []brief.Vary{
		{Quantity: brief.MustQuantity("fins.span"), From: 0.05, To: 0.2, Step: 0.002},
		{Quantity: brief.MustQuantity("fins.root"), Choices: []float64{0.1, 0.14, 0.12}},
		{Quantity: brief.MustQuantity("fins.tip"), From: 0.02, To: 0.1},
	}
	for _, row := range []struct {
		key   string
		value float64
		want  []float64
	}{
		{"fins.span", 0.1, []float64{0.102, 0.098}},
		{"fins.root", 0.12, []float64{0.14, 0.1}},
		{"fins.tip", 0.05, []float64{0.06, 0.04}},
		{"fins.density", 1000, []float64{1100, 900}},
		{"payload.mass", 0.1, []float64{0.11, 0.09}},
		{"chamber.proof", 1e6, nil},
	} {
		got := of(row.key, row.value)
		if !slices.EqualFunc(got, row.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9*max(1, b) }) {
			t.Errorf("%s of %v: %v, want %v", row.key, row.value, got, row.want)
		}
	}
}
