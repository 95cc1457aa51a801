package table_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"ullage/output/table"
)

// sweepRows is a table of the kinds of columns that a sweep keeps, of numbers as
// little alike as those of flights.
func sweepRows(n int) table.Table {
	span, apogee, margin, speed := make([]float64, n), make(table.Nullable, n), make(table.Nullable, n), make(table.Nullable, n)
	feasible, outcome := make([]bool, n), make([]string, n)
	random := rand.New(rand.NewPCG(1, 2))
	for i := range n {
		span[i], apogee[i] = random.Float64(), 100*random.Float64()
		margin[i], speed[i] = random.NormFloat64(), 9*random.Float64()
		if i%2 == 1 {
			speed[i] = math.NaN()
		}
		feasible[i], outcome[i] = i%3 == 0, "landed"
	}
	return table.Table{Columns: []table.Column{
		{Name: "fins_span_m", Unit: "m", Role: table.Varied, Values: span},
		{Name: "apogee_m", Unit: "m", Role: table.Goal, Values: apogee},
		{Name: "margin_cal", Unit: "cal", Role: table.Figure, Values: margin},
		{Name: "deploy_speed_m_s", Unit: "m/s", Role: table.Figure, Values: speed},
		{Name: "feasible", Unit: "1", Role: table.Identity, Values: feasible},
		{Name: "outcome", Unit: "1", Role: table.Identity, Values: outcome},
	}}
}

// A part of several row groups is one table to other readers.
func TestPartsAreRead(t *testing.T) {
	const rows = 1<<16 + 100 // a row group and some
	want := sweepRows(rows)
	data, err := table.EncodePart(want, testMeta())
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "part.parquet")
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	got, _, err := table.Read(path, 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	if fmt.Sprintf("%#v", got) != fmt.Sprintf("%#v", want) {
		t.Error("the part does not read back as it was written")
	}
	for name, found := range readings(t, path) {
		if len(found.Rows) != rows {
			t.Errorf("%s: %d rows, want %d", name, len(found.Rows), rows)
			continue
		}
		for _, i := range []int{0, 1<<16 - 1, 1 << 16, rows - 1} {
			for j, c := range want.Columns {
				if !reflect.DeepEqual(found.Rows[i][j], cell(c, i)) {
					t.Errorf("%s: %s row %d = %v, want %v", name, c.Name, i, found.Rows[i][j], cell(c, i))
				}
			}
		}
	}
}

// What a row takes is foretold from a few: more of them compress no worse.
func TestPartBytes(t *testing.T) {
	told, err := table.PartBytes(sweepRows(4096), testMeta())
	if err != nil {
		t.Fatal(err)
	}
	const rows = 50000
	part, err := table.EncodePart(sweepRows(rows), testMeta())
	if err != nil {
		t.Fatal(err)
	}
	// A sweep keeps a tenth of the disk in reserve; too much must not be told
	// either, and half is the order of magnitude that decides.
	if took := float64(len(part)) / rows; took > 1.1*told || took < told/2 {
		t.Errorf("%.1f bytes a row, told %.1f", took, told)
	}
}
