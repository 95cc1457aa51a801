package fleet

import (
	"math"
	"slices"
	"testing"

	"ullage/optimize"
	"ullage/optimize/study"
)

// A result that was sent is held against the one flown here in each of its
// numbers: a difference of one, of the last digit, is told.
func TestComparedInEachNumber(t *testing.T) {
	f := &flier{problem: &optimize.Problem{Goals: 2, Limits: 2}}
	fly := func(x []float64, r *optimize.Result) {
		r.Goals[0], r.Goals[1], r.Violations[0], r.Violations[1], r.Slack = x[0], 2, 0, 0.5, -0.5
		r.Failed = x[0] == 0
	}
	good := func() *optimize.Result {
		return &optimize.Result{Goals: []float64{1, 2}, Violations: []float64{0, 0.5}, Slack: -0.5}
	}
	if err := f.compare(fly, []float64{1}, good()); err != nil {
		t.Errorf("the same: %v", err)
	}
	for why, change := range map[string]func(r *optimize.Result){
		"the first goal":      func(r *optimize.Result) { r.Goals[0] = math.Nextafter(1, 2) },
		"the last goal":       func(r *optimize.Result) { r.Goals[1] = math.Nextafter(2, 3) },
		"the first violation": func(r *optimize.Result) { r.Violations[0] = 5e-324 },
		"the last violation":  func(r *optimize.Result) { r.Violations[1] = 0 },
		"the slack":           func(r *optimize.Result) { r.Slack = 0.5 },
		"that it failed":      func(r *optimize.Result) { r.Failed = true },
		"a goal too few":      func(r *optimize.Result) { r.Goals = r.Goals[:1] },
		"a violation missing": func(r *optimize.Result) { r.Violations = nil },
	} {
		r := good()
		change(r)
		if f.compare(fly, []float64{1}, r) == nil {
			t.Errorf("%s differs, and it is taken for the same", why)
		}
	}
	if r := good(); true {
		r.Goals[0] = 0
		if f.compare(fly, []float64{0}, r) == nil {
			t.Error("a failed flight is taken for one that did not fail")
		}
	}
}

// A row is the same where its outcome, its word on the limits and every number
// are, those that are not there included.
func TestSameRows(t *testing.T) {
	nan := math.NaN()
	row := study.Kept{Numbers: []float64{1, nan, 3}, Missed: []bool{false, true}, Outcome: "landed"}
	for i, other := range []study.Kept{
		{Numbers: []float64{1, nan, 3}, Missed: []bool{false, true}, Outcome: "landed"},
		{Numbers: []float64{1, nan, 4}, Missed: []bool{false, true}, Outcome: "landed"},
		{Numbers: []float64{1, 2, 3}, Missed: []bool{false, true}, Outcome: "landed"},
		{Numbers: []float64{nan, nan, 3}, Missed: []bool{false, true}, Outcome: "landed"},
		{Numbers: []float64{1, nan, 3}, Missed: []bool{true, true}, Outcome: "landed"},
		{Numbers: []float64{1, nan, 3}, Missed: []bool{false, true}, Outcome: "no lift-off"},
		{Numbers: []float64{1, nan, 3}, Missed: []bool{false, true}, Outcome: "landed", Feasible: true},
		{Numbers: []float64{1, nan}, Missed: []bool{false, true}, Outcome: "landed"},
	} {
		if got := sameKept(&row, &other) && sameKept(&other, &row); got != (i == 0) {
			t.Errorf("row %d, %+v: the same %v", i, other, got)
		}
	}
}

// What a worker writes of a row is what is read, and no worker's row is refused.
func TestRowsThereAndBack(t *testing.T) {
	rows := []study.Kept{
		{Numbers: []float64{1, math.NaN()}, Missed: []bool{false, true, false}, Outcome: outcomes[len(outcomes)-1]},
		{Numbers: []float64{-0.5, 1e300}, Missed: []bool{true, false, true}, Outcome: study.Panicked},
		{Numbers: []float64{0, 2}, Missed: []bool{false, false, false}, Outcome: "landed", Feasible: true},
	}
	var w rowWriter
	for i := range rows {
		w.add(&rows[i])
	}
	seen := 0
	err := eachRow(w.bytes, 3, 3, 2, func(i int, k *study.Kept) {
		if i != seen || !sameKept(k, &rows[i]) {
			t.Errorf("row %d: %+v, want %+v", i, *k, rows[i])
		}
		seen++
	})
	if err != nil || seen != 3 {
		t.Errorf("%d rows, %v, want 3", seen, err)
	}
	for why, spoil := range map[string]func(b []byte) []byte{
		"a byte too few":                  func(b []byte) []byte { return b[:len(b)-1] },
		"a byte too many":                 func(b []byte) []byte { return append(b, 0) },
		"an outcome beyond the last":      func(b []byte) []byte { b[0] = byte(len(outcomes)); return b },
		"feasible that is neither":        func(b []byte) []byte { b[1] = 2; return b },
		"a last limit that is neither":    func(b []byte) []byte { b[4] = 2; return b },
		"a last number that is infinite":  func(b []byte) []byte { copy(b[len(b)-8:], []byte{0, 0, 0, 0, 0, 0, 0xf0, 0x7f}); return b },
		"a first number that is infinite": func(b []byte) []byte { copy(b[5:], []byte{0, 0, 0, 0, 0, 0, 0xf0, 0xff}); return b },
	} {
		if err := eachRow(spoil(slices.Clone(w.bytes)), 3, 3, 2, func(int, *study.Kept) { t.Errorf("%s: a row is taken", why) }); err == nil {
			t.Errorf("%s: no fault", why)
		}
	}
}
