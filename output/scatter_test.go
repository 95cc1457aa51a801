package output_test

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
	"ullage/output/terminal"
)

// TestScatterTable reads the numbers back under their names, in written units.
func TestScatterTable(t *testing.T) {
	s := sample.Scatter(2, true)
	path := filepath.Join(t.TempDir(), "scatter.parquet")
	if err := table.Write(path, s.Table(), table.Meta{Seed: 7}); err != nil {
		t.Fatal(err)
	}
	found, meta, err := table.Read(path, 2)
	if err != nil || meta.Seed != 7 || fmt.Sprintf("%#v", found) != fmt.Sprintf("%#v", s.Table()) {
		t.Fatalf("read back (%v): %+v", err, meta)
	}
	columns := map[string]table.Column{}
	for _, c := range found.Columns {
		columns[c.Name] = c
	}
	all := constraints.Chance{Met: 99, Flights: 200}.AtLeast()
	planned := output.FigureOf(&s.Designs[0].Nominal, model.Apogee)
	for name, want := range map[string]any{
		"design":                  []int32{1, 2},
		"flights":                 []int32{200, 200},
		"apogee_as_set_m":         table.Nullable{planned, planned},
		"apogee_p90_m":            table.Nullable{146, 146},
		"apogee_sd_within_day_m":  table.Nullable{2, 2},
		"peak_incidence_p10_deg":  table.Nullable{4, 4},
		"tube_time_mean_s":        table.Nullable{math.NaN(), math.NaN()},
		"deploy_speed_flights":    []int32{198, 198},
		"chance_margin":           table.Nullable{1, 1},
		"chance_least_all":        table.Nullable{all, all},
		"chance_chamber_pressure": table.Nullable{0.5, 0.5},
	} {
		if got := columns[name].Values; fmt.Sprintf("%#v", got) != fmt.Sprintf("%#v", want) {
			t.Errorf("column %s = %v, want %v", name, got, want)
		}
	}
	for _, name := range []string{"chamber_throat_m", "payload_mass_kg", "site_tilt_deg"} { // one of them is a goal
		if c := columns[name]; c.Role != table.Varied || c.Sense != "" {
			t.Errorf("column %s is %q with the sense %q, want varied and none", name, c.Role, c.Sense)
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
	b, rows := sample.Brief(robust), sample.Rows()
	b.Goals[0].As = brief.Statistic{Best: 2, Of: 3}
	of := func(met int) constraints.Chance { return constraints.Chance{Met: met, Flights: 200} }
	rows[0].Proof = &study.Proof{
		Design:  optimize.Design{Result: optimize.Result{Goals: []float64{-140, -0.08}}},
		Chances: []constraints.Chance{of(198), of(200), of(194), of(200)}, Held: true, All: of(192), Shown: []float64{0.25, 0, -1e5, math.NaN()},
	}
	columns := map[string]table.Column{}
	for _, c := range output.Front(b, rows, nil).Columns {
		columns[c.Name] = c
	}
	for name, want := range map[string]any{
		"best_2_of_3_apogee_m":            table.Nullable{140, math.NaN()},
		"mean_payload_mass_kg":            table.Nullable{0.08, math.NaN()},
		"chance_margin":                   table.Nullable{0.99, math.NaN()},
		"chance_least_chamber_pressure":   table.Nullable{of(194).AtLeast(), math.NaN()},
		"shown_slack_margin_cal":          table.Nullable{0.25, math.NaN()},
		"shown_slack_chamber_pressure_pa": table.Nullable{-1e5, math.NaN()},
		"chance_all":                      table.Nullable{0.96, math.NaN()},
		"chance_least_all":                table.Nullable{of(192).AtLeast(), math.NaN()},
		"proof_flights":                   table.Nullable{200, math.NaN()},
		"feasible":                        []bool{true, false},
	} {
		if got := columns[name].Values; fmt.Sprintf("%#v", got) != fmt.Sprintf("%#v", want) {
			t.Errorf("column %s = %v, want %v", name, got, want)
		}
	}
	if words := terminal.Front(b, rows, 2); !strings.Contains(words, "best 2 of 3") || !strings.Contains(words, "  chamber.pressure, margin\n") {
		t.Errorf("front =\n%s\nwant the goals as summed up, the least kept limit first", words)
	}
}
