package output_test

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/runs"
	"ullage/output/table"
)

const robust = `[scatter]
"body.drag" = "5 %"
[search]
front = 4
flights = 90000
robust = { draws = 200, confidence = 0.9 }
`

// What a file holds of a row comes back as it was, by way of degrees.
func TestRowsComeBack(t *testing.T) {
	for _, more := range []string{"", robust} {
		b, rows := sample.Brief(more), sample.Rows()
		if more != "" {
			flights := b.Plan().Days
			rows[0].Proof = &study.Proof{
				Design: optimize.Design{X: rows[0].X, Result: optimize.Result{Goals: []float64{-140, -0.08}}}, Held: true,
				Chances: []constraints.Chance{{Met: flights, Flights: flights}, {Met: flights - 3, Flights: flights}, {Flights: flights}, {Met: 1, Flights: flights}},
				All:     constraints.Chance{Met: flights - 3, Flights: flights}, Shown: []float64{0.1, -math.Pi / 180, math.NaN(), 2e5},
			}
		}
		told := sample.Doubts()
		for i := range told {
			rows[0].Figures[told[i].Figure] = told[i].Value
			told[i].Most = nil // no file has it
		}
		rows[0].Outcome, rows[1].Outcome = 0, 0 // no file has it
		path := filepath.Join(t.TempDir(), "front.parquet")
		if err := table.Write(path, output.Front(b, rows, [][]answers.Doubt{told}), table.Meta{}); err != nil {
			t.Fatal(err)
		}
		front, _, err := table.Read(path, 2)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := output.Doubts(front); err != nil || !slices.Equal(got[0], told) || got[1] != nil {
			t.Errorf("doubts %+v, %v, want %+v and none", got, err, told)
		}
		got, err := output.Rows(b, front)
		if err != nil {
			t.Fatal(err)
		}
		for i := range rows {
			if g, w := plain(got[i]), plain(rows[i]); g != w {
				t.Errorf("row %d = %s, want %s", i, g, w)
			}
		}
	}
}

// plain writes a row to 14 digits, for degrees cost the last.
func plain(r study.Row) string {
	text := fmt.Sprintf("%d %.14g %v %.14g %.14g", r.Design, r.X, r.Warnings.Keys(), r.Figures, r.Slacks)
	if r.Proof != nil {
		text += fmt.Sprintf("%+v", *r.Proof)
	}
	return text
}

func TestDesignsComeBack(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	got, err := output.Designs(b, output.Front(b, rows, nil))
	if err != nil || fmt.Sprintf("%.14g", got) != fmt.Sprintf("%.14g", [][]float64{rows[0].X, rows[1].X}) {
		t.Errorf("Designs = %v, %v", got, err)
	}
	_, err = output.Designs(b, output.Front(sample.Brief("", "chamber.throat=9 mm"), rows, nil))
	if err == nil || err.Error() != "no column chamber_throat_m of numbers, want one" {
		t.Errorf("Designs without a column: %v", err)
	}
}

// Trajectories of a run come back one by one, wherever a batch of rows ends.
func TestPathsComeBack(t *testing.T) {
	var paths [][]model.Sample
	for design := range 40 {
		var path []model.Sample
		for i := range 500 + design {
			path = append(path, model.Sample{Phase: model.CoastPhase, T: float64(i), Z: float64(design), Speed: 1, Margin: math.Sqrt(float64(i))})
		}
		paths = append(paths, path)
	}
	dir := filepath.Join(t.TempDir(), "run")
	f, err := runs.Create(dir, nil, 1, "v")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.WriteTable("paths.parquet", output.Paths(paths)); err != nil {
		t.Fatal(err)
	}
	r, err := f.Finish(runs.Run{})
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	err = output.EachPath(r, dir, 40, func(design int, path []model.Sample) {
		if seen++; design != seen || fmt.Sprint(path) != fmt.Sprint(paths[design-1]) {
			t.Errorf("design %d, the %d.: its path does not come back", design, seen)
		}
	})
	if err != nil || seen != 40 {
		t.Errorf("EachPath = %v after %d designs, want 40", err, seen)
	}
	err = output.EachPath(r, dir, 39, func(int, []model.Sample) {})
	if want := "read " + filepath.Join(dir, "paths.parquet") + ": design 40, want 1 to 39"; err == nil || err.Error() != want {
		t.Errorf("EachPath of too many designs = %v, want %s", err, want)
	}
}
