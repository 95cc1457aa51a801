package output_test

import (
	"fmt"
	"path/filepath"
	"reflect"
	"testing"

	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
)

// TestEffectsTable reads the changes back, angles in degrees.
func TestEffectsTable(t *testing.T) {
	e := sample.Effects(0)
	path := filepath.Join(t.TempDir(), "effects.parquet")
	if err := table.Write(path, e.Table(), table.Meta{}); err != nil {
		t.Fatal(err)
	}
	found, _, err := table.Read(path, len(e.Changes))
	if err != nil {
		t.Fatal(err)
	}
	got := []string{}
	for _, c := range found.Columns {
		got = append(got, fmt.Sprintf("%s %s %s %v", c.Name, c.Unit, c.Role, c.Values))
	}
	want := []string{
		"quantity 1 identity [payload.mass body.drag chamber.gas_temperature fins.count site.tilt chamber.fill site.humidity]",
		"step 1 varied [0.01 0.2 8.42 1 -1 0.01 0.2]",
		"step_unit 1 identity [kg 1 K 1 deg 1 1]",
		"is_doubt 1 identity [false true true false false false false]",
		"apogee_m m figure [NaN -12.34 1.26 -1.04 0.04 0.1 0.01]",
		"margin_cal cal figure [0.123 0 -0.001 0.2 0 0 0]",
		"landing_speed_m_s m/s figure [NaN -0.004 0.005 0 0 0 0]",
		"drift_m m figure [NaN -30 0 0 3 0 0]",
		"acceleration_m_s2 m/s2 figure [-0.98066 0 19.6133 0 0 0 0]",
		"missed 1 identity [[landing_speed] [] [margin apogee] [] [] [] []]",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("columns = %q, want %q", got, want)
	}
	if none := (&output.Effects{Brief: e.Brief}).Table(); len(none.Columns) != len(want) {
		t.Errorf("%d columns where nothing changes, want %d", len(none.Columns), len(want))
	}
}
