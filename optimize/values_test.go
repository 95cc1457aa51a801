package optimize_test

import (
	"testing"

	"ullage/optimize"
)

func TestVariableValues(t *testing.T) {
	for _, c := range []struct {
		why         string
		v           optimize.Variable
		count       int64
		first, last float64
	}{
		{"continuous", optimize.Variable{From: 1, To: 2}, 0, 0, 0},
		{"steps that end at To but for rounding", optimize.Variable{From: 0.12, To: 0.45, Step: 0.005}, 67, 0.12, 0.45},
		{"steps that miss To", optimize.Variable{From: 0, To: 1, Step: 0.25 + 1.0/64}, 4, 0, 0.75 + 3.0/64},
		{"choices", optimize.Variable{Choices: []float64{9, 7, 8}}, 3, 9, 8},
		{"one value", optimize.Variable{From: 3, To: 3}, 1, 3, 3},
		{"more than a float64 counts", optimize.Variable{From: 0, To: 1e300, Step: 1}, 1 << 53, 0, 1<<53 - 1},
	} {
		n := c.v.Count()
		if n != c.count {
			t.Errorf("%s: Count() = %d, want %d", c.why, n, c.count)
		}
		if n == 0 {
			continue
		}
		if first, last := c.v.Value(0), c.v.Value(n-1); first != c.first || last != c.last {
			t.Errorf("%s: values from %v to %v, want %v to %v", c.why, first, last, c.first, c.last)
		}
	}
}
