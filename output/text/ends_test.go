package text_test

import (
	"strings"
	"testing"

	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/text"
)

// How near is said of each limit that the first row misses, with what helps
// where safety hangs on it, and never that a limit be eased.
func TestHowNear(t *testing.T) {
	b, row := sample.Brief(""), sample.Rows()[0]
	row.Slacks = []float64{-0.08, 0.01, -50e3, 0.5} // margin, peak_incidence, chamber.pressure, proof_ratio
	row.X = append([]float64{}, row.X...)
	row.X[1] = 0.24 // payload.mass, the greatest that is allowed
	got := text.HowNear(b, []study.Row{row})
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
	if got := text.HowNear(b, []study.Row{row}); got != "" {
		t.Errorf("of a row that keeps its limits: %q", got)
	}
}
