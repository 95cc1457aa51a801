package output_test

import (
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
)

// A design is beaten by one of another run that is better in a goal and worse in
// none and keeps its own brief's limits, and never by one of its own run.
func TestCompare(t *testing.T) {
	b := sample.Brief("")
	row := func(design int, apogee, payload float64) study.Row {
		r := sample.Rows()[0]
		r.Design, r.X, r.Figures = design, slices.Clone(r.X), slices.Clone(r.Figures)
		r.X[1], r.Figures[model.Apogee] = payload, apogee
		return r
	}
	missed := row(3, 500, 0.24)
	missed.Slacks = []float64{-0.1, 0.1, 1e3, 0.5}
	got := output.Compare([]output.Compared{
		{Brief: b, Rows: []study.Row{row(1, 100, 0.1), row(2, 90, 0.1), row(3, 120, 0.05), row(4, math.NaN(), 0.2)}},
		{Brief: b, Rows: []study.Row{row(1, 100, 0.1), row(2, 95, 0.15), missed, row(4, 80, 0.2)}},
	})
	want := [][]output.Beater{
		{{Run: -1}, {Run: 1, Design: 1}, {Run: -1}, {Run: 1, Design: 4}},
		{{Run: -1}, {Run: -1}, {Run: -1}, {Run: -1}},
	}
	for i, run := range got.Runs {
		if !slices.Equal(run.Beaten, want[i]) {
			t.Errorf("run %d: %v, want %v", i, run.Beaten, want[i])
		}
	}
}
