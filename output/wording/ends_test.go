package wording_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/text"
	"ullage/output/wording"
)

// How near is said of each limit that the first row misses, with what helps
// where safety hangs on it, and never that a limit be eased.
func TestHowNear(t *testing.T) {
	b, row := sample.Brief(""), sample.Rows()[0]
	row.Slacks = []float64{-0.08, 0.01, -50e3, 0.5} // margin, peak_incidence, chamber.pressure, proof_ratio
	row.X = append([]float64{}, row.X...)
	row.X[1] = 0.24 // payload.mass, the greatest that is allowed
	got := strings.Join(wording.HowNear(b, []study.Row{row}), "\n")
	for _, want := range []string{
		"nearest, design 1: margin reached 0.920 cal, wanted at least 1.00 cal; chamber.pressure reached 8.50 bar,",
		"wanted at most 8.00 bar; at an end of its range there:", "payload.mass 240 g",
		"what helps: margin: more fin, ballast in the nose, or less water; chamber.pressure: a lower pressure",
	} {
		if !strings.Contains(strings.Join(strings.Fields(got), " "), strings.Join(strings.Fields(want), " ")) {
			t.Errorf("no %q in:\n%s", want, got)
		}
	}
	row.Slacks[0], row.Slacks[2] = 0.1, 0
	if got := wording.HowNear(b, []study.Row{row}); got != nil {
		t.Errorf("of a row that keeps its limits: %q", got)
	}
}

// In a robust search a goal is what the flights come to, and of a limit that some
// of them miss it is said how many keep it, and which bound would have held.
func TestRobustRows(t *testing.T) {
	b, rows := sample.Robust()
	// Of the chamber pressure, at most, 10 flights of 60 keep it as it is.
	rows[1].Proof.Shown = []float64{0.1, 0.1, -1.2341e5, 0.1}
	near := strings.Join(wording.HowNear(b, rows[1:]), "\n")
	bound := b.Limits[2].AtMost/1e5 + 1.2341
	if want := fmt.Sprintf("kept in 16.6 %% of the flights; at most %s bar is proved for 80.0 %% of them", text.AtLeast(bound, 2)); !strings.Contains(near, want) {
		t.Errorf("how near: %s\nwant %s", near, want)
	}
	// Nothing is proved of a limit on both sides, nor where no bound was shown.
	rows[1].Proof.Shown[2] = math.NaN()
	unshown := strings.Join(wording.HowNear(b, rows[1:]), "\n")
	rows[1].Proof.Shown[2], b.Limits[2].AtLeast = -1.2341e5, 1e5
	if both := strings.Join(wording.HowNear(b, rows[1:]), "\n"); strings.Contains(unshown+both, "is proved") || !strings.Contains(unshown, "kept in 16.6 %") || !strings.Contains(both, "kept in 16.6 %") {
		t.Errorf("without a bound: %s\nwith limits on both sides: %s\nwant neither to name one", unshown, both)
	}
	values := wording.GoalValues(b, 0, rows)
	rows[1].Proof = nil
	if without := wording.GoalValues(b, 0, rows); values[1] != 131 || !math.IsNaN(without[1]) {
		t.Errorf("apogee of a row with a proof %v, without %v, want 131 and none", values[1], without[1])
	}
	if id := rows[0].Figures[model.Apogee]; values[0] == id {
		t.Errorf("apogee %v as set, want it summed up", id)
	}
}
