package constraints

import (
	"math"
	"testing"
)

var inf = math.Inf(1)

const close = 1e-14

func TestLimit(t *testing.T) {
	for _, row := range []struct {
		why           string
		limit         Limit
		v             float64
		slack, misses float64
		scaled        float64
		binding       bool
	}{
		{"inside one bound", Limit{AtLeast: 1, AtMost: inf}, 1.5, 0.5, 0, 0.5, false},
		{"on the bound", Limit{AtLeast: 1, AtMost: inf}, 1, 0, 0, 0, true},
		{"outside a lower bound", Limit{AtLeast: 1, AtMost: inf}, 0.25, -0.75, 0.75, -0.75, false},
		{"outside an upper bound", Limit{AtLeast: -inf, AtMost: 6}, 7.5, -1.5, 1.5, -0.25, false},
		{"within 1 % of the bound", Limit{AtLeast: -inf, AtMost: 6}, 5.95, 6 - 5.95, 0, (6 - 5.95) / 6, true},
		{"just over 1 % from it", Limit{AtLeast: -inf, AtMost: 6}, 5.93, 6 - 5.93, 0, (6 - 5.93) / 6, false},
		{"the nearer of two bounds", Limit{AtLeast: 2, AtMost: 10}, 9, 1, 0, 0.1, false},
		{"size, upwind", Limit{AtLeast: -inf, AtMost: 90, Size: true}, -100, -10, 10, -10.0 / 90, false},
		{"sign counts without size", Limit{AtLeast: -inf, AtMost: 90}, -100, 190, 0, 190.0 / 90, false},
		{"a bound of 0 has no size to scale by", Limit{AtLeast: -inf, AtMost: 0}, 0.5, -0.5, 0.5, -0.5, false},
		{"a negative bound", Limit{AtLeast: -4, AtMost: inf}, -5, -1, 1, -0.25, false},
	} {
		if got := row.limit.Slack(row.v); math.Abs(got-row.slack) > close {
			t.Errorf("%s: Slack(%v) = %v, want %v", row.why, row.v, got, row.slack)
		}
		if got := row.limit.Violation(row.limit.Slack(row.v)); math.Abs(got-row.misses) > close {
			t.Errorf("%s: Violation at %v = %v, want %v", row.why, row.v, got, row.misses)
		}
		if got := row.limit.Scaled(row.slack); math.Abs(got-row.scaled) > close {
			t.Errorf("%s: Scaled(%v) = %v, want %v", row.why, row.slack, got, row.scaled)
		}
		if got := row.limit.Binding(row.slack); got != row.binding {
			t.Errorf("%s: Binding(%v) = %v, want %v", row.why, row.slack, got, row.binding)
		}
	}
}

func TestMissing(t *testing.T) {
	l := Limit{AtLeast: -inf, AtMost: 12}
	if got := l.Violation(math.NaN()); got != 12 {
		t.Errorf("Violation(NaN) = %v, want 12: no canopy must be worse than any opening that is nearly slow enough", got)
	}
}

// A share of 1e-12 of the larger bound is rounding, and a hundredth more is not.
func TestRoundingBothSides(t *testing.T) {
	l := Limit{AtLeast: -4, AtMost: 1}
	for share, want := range map[float64]bool{0.99e-12: true, 1.02e-12: false} {
		for _, off := range []float64{share, -share} {
			if got := l.rounded(4*off) == 0; got != want {
				t.Errorf("a slack of %g of the bound is rounding: %v, want %v", off, got, want)
			}
		}
	}
}
