package output_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/runs"
)

// Landings come back to the design that they are of; a design that the front
// does not have is a fault.
func TestLandingsComeBack(t *testing.T) {
	want := [][]study.Landing{{{Drift: -12, Speed: 4.5}, {Drift: math.NaN(), Speed: math.NaN()}}, nil, {{Drift: 3, Speed: 5}}}
	table := output.Landings(want)
	columns := map[string]string{}
	for _, c := range table.Columns {
		columns[c.Name] = fmt.Sprint(c.Values)
	}
	for name, want := range map[string]string{"design": "[1 1 3]", "draw": "[1 2 1]", "drift_m": "[-12 NaN 3]", "landing_speed_m_s": "[4.5 NaN 5]"} {
		if columns[name] != want {
			t.Errorf("column %s = %s, want %s", name, columns[name], want)
		}
	}
	got, err := output.LandingsOf(table, 3)
	if err != nil || fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("LandingsOf = %v, %v, want %v", got, err, want)
	}
	for _, row := range []struct {
		design  int32
		designs int
		want    string
	}{{3, 2, "design 3, want 1 to 2"}, {0, 3, "design 0, want 1 to 3"}, {-1, 3, "design -1, want 1 to 3"}} {
		table.Columns[0].Values = []int32{1, 1, row.design}
		if _, err := output.LandingsOf(table, row.designs); err == nil || err.Error() != row.want {
			t.Errorf("LandingsOf with design %d of %d = %v, want %s", row.design, row.designs, err, row.want)
		}
	}
	if _, err := output.LandingsOf(output.Paths(nil), 1); err == nil {
		t.Error("LandingsOf a table without draws: no fault")
	}
}

// A run has landings where something scatters, and no file of them elsewhere.
func TestSaveOfLandings(t *testing.T) {
	for _, landings := range [][][]study.Landing{nil, {{{Drift: 1, Speed: 2}}}} {
		dir := filepath.Join(t.TempDir(), "run")
		f, err := runs.Create(dir, nil, 1, "v")
		if err != nil {
			t.Fatal(err)
		}
		found := output.Found{Rows: sample.Rows(), Paths: make([][]model.Sample, 2), Landings: landings, Archive: sample.Rows()}
		err = found.Save(sample.Brief(""), f)
		f.Close()
		for _, name := range []string{"front.parquet", "front.arrow", "archive.parquet", "paths.parquet", "history.parquet", "landings.parquet"} {
			_, missing := os.Stat(filepath.Join(dir, name))
			if want := name != "landings.parquet" || landings != nil; err != nil || (missing == nil) != want {
				t.Errorf("%d landings: %s there %v, want %v (%v)", len(landings), name, missing == nil, want, err)
			}
		}
	}
}

// A limit tells no design from another where it binds in every one of several.
func TestEverywhere(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	if got := output.Everywhere(b, rows[:1]); len(got) != 0 {
		t.Errorf("of one row: %v", got)
	}
	rows[0].Slacks, rows[1].Slacks = []float64{0, 0, 1e3, 0.5}, []float64{0, 1, 1e3, 0}
	if got := fmt.Sprint(output.Everywhere(b, rows)); got != "[margin chamber.pressure]" {
		t.Errorf("Everywhere = %s, want [margin chamber.pressure]", got)
	}
}
