package output_test

import (
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
	"ullage/output/text"
)

// TestScatterTable reads the numbers back under their names, in written units.
func TestScatterTable(t *testing.T) {
	s := sample.Scatter(2, true)
	path := filepath.Join(t.TempDir(), "scatter.parquet")
	if err := table.Write(path, s.Table(), table.Meta{Seed: 7}); err != nil {
		t.Fatal(err)
	}
	found, meta, err := table.Read(path, 1<<20)
	if err != nil || meta.Seed != 7 || !reflect.DeepEqual(found, s.Table()) {
		t.Fatalf("read back (%v): %+v", err, meta)
	}
	columns := map[string]table.Column{}
	for _, c := range found.Columns {
		columns[c.Name] = c
	}
	for name, want := range map[string]any{
		"design":                  []int32{1, 2},
		"flights":                 []int32{200, 200},
		"apogee_as_set_m":         []table.Value{table.Of(142, true), table.Of(142, true)},
		"apogee_p90_m":            []table.Value{table.Of(146, true), table.Of(146, true)},
		"apogee_sd_within_day_m":  []table.Value{table.Of(2, true), table.Of(2, true)},
		"peak_incidence_p10_deg":  []table.Value{table.Of(4, true), table.Of(4, true)},
		"tube_time_mean_s":        []table.Value{{}, {}},
		"deploy_speed_flights":    []int32{198, 198},
		"chance_margin":           []table.Value{table.Of(1, true), table.Of(1, true)},
		"chance_least_all":        []table.Value{table.Of(0.4351, true), table.Of(0.4351, true)},
		"chance_chamber_pressure": []table.Value{table.Of(0.5, true), table.Of(0.5, true)},
	} {
		if got := columns[name].Values; !reflect.DeepEqual(got, want) {
			t.Errorf("column %s = %v, want %v", name, got, want)
		}
	}
	s = sample.Scatter(1, false)
	for _, c := range s.Table().Columns {
		if strings.Contains(c.Name, "within_day") {
			t.Errorf("column %s where days do not differ", c.Name)
		}
	}
}

// TestProofs adds what was proved to the front of a robust search, and tells
// limits that some flights miss.
func TestProofs(t *testing.T) {
	l, rows := sample.Layout(), sample.Rows()
	l.Confidence, l.Summed = 0.9, []string{"best 2 of 3", "mean"}
	rows[0].Goals = []table.Value{table.Of(140, true), table.Of(0.08, true)}
	rows[0].Chances = []output.Chance{{0.99, 0.95}, {1, 0.98}, {0.97, 0.93}}
	rows[0].Held = true
	columns := map[string]table.Column{}
	for _, c := range l.Front(rows).Columns {
		columns[c.Name] = c
	}
	for name, want := range map[string]any{
		"best_2_of_3_apogee_m":          []table.Value{table.Of(140, true), {}},
		"mean_payload_mass_kg":          []table.Value{table.Of(0.08, true), {}},
		"chance_margin":                 []table.Value{table.Of(0.99, true), {}},
		"chance_least_chamber_pressure": []table.Value{table.Of(0.93, true), {}},
		"feasible":                      []bool{true, false},
	} {
		if got := columns[name].Values; !reflect.DeepEqual(got, want) {
			t.Errorf("column %s = %v, want %v", name, got, want)
		}
	}
	if got := l.Missed(rows[0]); len(got) != 0 {
		t.Errorf("missed %v, want none", got)
	}
	if !l.Feasible(rows) || l.Feasible(rows[1:]) {
		t.Error("feasible is the row that was proved, and no other")
	}
	if text := text.Front(l, rows, 2); !strings.Contains(text, "best 2 of 3") || !strings.Contains(text, "  chamber.pressure, margin\n") {
		t.Errorf("front =\n%s\nwant the goals as summed up, the least kept limit first", text)
	}
	rows[0].Chances[1].AtLeast = 0.89
	if got := l.Missed(rows[0]); !reflect.DeepEqual(got, []string{"peak_incidence"}) {
		t.Errorf("missed %v, want peak_incidence", got)
	}
}
