package constraints

import (
	"math"
	"slices"
	"testing"
)

// TestJudge holds the rules of a verdict: a limit is kept up to its bound, a
// last digit beyond it counts as on it, and a number that is not there keeps
// nothing.
func TestJudge(t *testing.T) {
	limits := []Limit{{AtLeast: 1.5, AtMost: inf}, {AtLeast: -inf, AtMost: 90, Size: true}}
	for _, row := range []struct {
		why    string
		values []float64
		slacks []float64
		kept   bool
	}{
		{"inside both", []float64{2, -80}, []float64{0.5, 10}, true},
		{"on a bound", []float64{1.5, 90}, []float64{0, 0}, true},
		{"a digit beyond, by rounding", []float64{math.Nextafter(1.5, 0), math.Nextafter(90, 100)}, []float64{0, 0}, true},
		{"a millionth beyond", []float64{1.5 - 1e-6, 90}, []float64{-1e-6, 0}, false},
		{"one of two missed", []float64{2, -95}, []float64{0.5, -5}, false},
		{"not there", []float64{2, math.NaN()}, []float64{0.5, math.NaN()}, false},
	} {
		var v Verdict
		v.Judge(limits, row.values)
		same := slices.EqualFunc(v.Slacks, row.slacks, func(a, b float64) bool {
			return math.Abs(a-b) < 1e-9*math.Abs(b) || a == b || math.IsNaN(a) && math.IsNaN(b)
		})
		if v.Kept != row.kept || !same {
			t.Errorf("%s: %+v, want slacks %v, kept %v", row.why, v, row.slacks, row.kept)
		}
	}
	var none Verdict
	if none.Judge(nil, nil); !none.Kept {
		t.Error("no limits: want them kept")
	}
}

func TestJudgeAllocatesNothing(t *testing.T) {
	limits, values := []Limit{{AtLeast: 1, AtMost: inf}}, []float64{2}
	var v Verdict
	v.Judge(limits, values)
	if n := testing.AllocsPerRun(10, func() { v.Judge(limits, values) }); n != 0 {
		t.Errorf("%v allocations a judgement, want 0", n)
	}
}
