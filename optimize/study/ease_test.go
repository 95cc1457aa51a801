package study

import (
	"math"
	"testing"
)

func TestEase(t *testing.T) {
	of := func(slacks ...float64) float64 {
		e := newEase()
		for _, s := range slacks {
			e.add(s)
		}
		return e.value()
	}
	for _, row := range []struct {
		why           string
		better, worse []float64
	}{
		{"the smallest counts", []float64{0.2, 0.9}, []float64{0.1, 0.9}},
		{"more than the rest", []float64{0.2, 0.3}, []float64{0.1, 0.9}},
		{"one that is the same in both hides no other", []float64{0, 0.3}, []float64{0, 0.2}},
		{"not even a far one", []float64{0, 1.2}, []float64{0, 1.0}},
		{"a missed limit is worse than any met", []float64{0, 0}, []float64{-0.2, 1}},
	} {
		if a, b := of(row.better...), of(row.worse...); !(a > b) {
			t.Errorf("%s: %v gives %v, want more than %v of %v", row.why, row.better, a, b, row.worse)
		}
	}
	if got := of(0.4, -0.25, -0.1); got != -0.25 {
		t.Errorf("missed limits give %v, want the worst slack, -0.25", got)
	}
	if got := of(); !math.IsInf(got, 1) {
		t.Errorf("no limits give %v, want +Inf", got)
	}
	// Two slacks as small as each other count as one that is smaller by 0.05 ln 2.
	if a, b := of(0.2), of(0.2, 0.2); math.Abs(a-0.2) > 1e-12 || math.Abs(b-(0.2-0.05*math.Ln2)) > 1e-12 {
		t.Errorf("one slack of 0.2 gives %v, two %v, want 0.2 and 0.05 ln 2 less", a, b)
	}
}
