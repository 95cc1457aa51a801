package output_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
)

const degree = math.Pi / 180

func TestFrontColumns(t *testing.T) {
	found := output.Front(sample.Brief(""), sample.Rows(), [][]answers.Doubt{sample.Doubts()})
	// Name, unit, role, sense; of the figures only some.
	want := []string{
		"design 1 identity ",
		"chamber_throat_m m varied ",
		"payload_mass_kg kg goal highest",
		"site_tilt_deg deg varied ",
		"apogee_m m goal highest",
		"margin_cal cal figure ",
		"peak_incidence_deg deg figure ",
		"bare_drift_m m figure ",
		"slack_margin_cal cal slack at_least 1",
		"slack_peak_incidence_deg deg slack at_most 5",
		"slack_chamber_pressure_pa Pa slack at_most 800000",
		"slack_proof_ratio 1 slack at_least 1.5",
		"apogee_low_m m figure ",
		"apogee_high_m m figure ",
		"acceleration_high_m_s2 m/s2 figure ",
		"binding 1 identity ",
		"knee 1 identity ",
		"feasible 1 identity ",
		"warnings 1 identity ",
		"brief_sha256 1 identity ",
	}
	got := []string{}
	for _, c := range found.Columns {
		if face := fmt.Sprintf("%s %s %s %s", c.Name, c.Unit, c.Role, c.Sense); c.Role != table.Figure && c.Role != table.Fixed || slices.Contains(want, face) {
			got = append(got, face)
		}
		if c.Doc == "" {
			t.Errorf("%s has no doc", c.Name)
		}
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("columns = %q, want %q", got, want)
	}
	// Three quantities vary; canopies with a mass of their own have two more.
	if n := 1 + 3 + len(study.Figures()) + 4 + 8 + 4 + len(brief.Quantities()) - 3 - 2 + 1; len(found.Columns) != n {
		t.Errorf("%d columns, want %d", len(found.Columns), n)
	}
}

func TestFrontValues(t *testing.T) {
	columns := map[string]table.Column{}
	for _, c := range output.Front(sample.Brief(""), sample.Rows(), [][]answers.Doubt{sample.Doubts()}).Columns {
		columns[c.Name] = c
	}
	for name, want := range map[string]any{
		"design":                   []int32{1, 2},
		"payload_mass_kg":          []float64{0.08, 0.24},
		"site_tilt_deg":            []float64{2, 0},
		"peak_incidence_deg":       table.Nullable{4, math.NaN()},
		"slack_peak_incidence_deg": table.Nullable{1, math.NaN()},
		"slack_margin_cal":         table.Nullable{0.32, -0.1},
		"apogee_low_m":             table.Nullable{120, math.NaN()},
		"drift_high_m":             table.Nullable{-15, math.NaN()},
		"binding":                  [][]string{{"chamber.pressure"}, {}},
		"knee":                     []bool{true, false},
		"feasible":                 []bool{true, false},
		"warnings":                 [][]string{{}, {"mach_high", "fill_extreme"}},
		"chamber_fill":             table.Nullable{0.3, 0.3},
		"fins_count":               table.Nullable{3, 3},
		"site_wind_m_s":            table.Nullable{0, 0},
		"ballast_mass_kg":          table.Nullable{math.NaN(), math.NaN()},
		"ballast_station_m":        table.Nullable{math.NaN(), math.NaN()},
		"body_tail_length_m":       table.Nullable{math.NaN(), math.NaN()},
		"chamber_volume_m3":        table.Nullable{math.NaN(), math.NaN()},
		"recovery_line_n":          table.Nullable{math.NaN(), math.NaN()},
	} {
		if got := columns[name].Values; fmt.Sprintf("%#v", got) != fmt.Sprintf("%#v", want) {
			t.Errorf("%s = %v, want %v", name, got, want)
		}
	}
}

// A limit that the flight has no number for is missed, not met.
func TestMissingSlackIsInfeasible(t *testing.T) {
	rows := sample.Rows()
	rows[1].Slacks = []float64{0, 0, 0, 0}
	rows[0].Slacks[2] = math.NaN()
	for _, c := range output.Front(sample.Brief(""), rows, nil).Columns {
		if c.Name == "feasible" && !reflect.DeepEqual(c.Values, []bool{false, true}) {
			t.Errorf("feasible = %v, want [false true]", c.Values)
		}
	}
}

// Degrees come back from radians within the two roundings on the way, and
// whole ones mostly whole: 7 of 91 do not, where 180/π as a factor spoils 19.
func TestAnglesComeBack(t *testing.T) {
	spoilt := 0
	for i := range 91 {
		got, want := table.Written(float64(i)*degree, "rad"), float64(i)
		if math.Abs(got-want) > want*0x1p-52 {
			t.Errorf("%v deg comes back as %v", want, got)
		}
		if got != want {
			spoilt++
		}
	}
	if spoilt > 7 {
		t.Errorf("%d of 91 whole degrees do not come back whole, want at most 7", spoilt)
	}
}

func TestHistory(t *testing.T) {
	records := []optimize.Record{
		{Barrier: 1, Island: 2, Flights: 400, Feasible: 100, Hypervolume: 0.5, Best: []float64{-120, -0.2}},
		{Barrier: 1, Island: 3},
		{Barrier: 2, Island: 2, Flights: 1, Feasible: 1, Best: []float64{-120, -0.2}},
	}
	found := output.History(sample.Brief(""), records, []float64{1.5, 0, 2})
	want := []string{
		"epoch [1 1 2]", "island [2 3 2]", "flights [400 0 1]", "feasible_share [0.25 0 1]", "hypervolume [0.5 0 0]",
		"best_apogee_m [120 NaN 120]", "best_payload_mass_kg [0.2 NaN 0.2]", "seconds [1.5 0 2]",
	}
	for i, c := range found.Columns {
		if got := fmt.Sprintf("%s %v", c.Name, c.Values); got != want[i] {
			t.Errorf("column %d = %s, want %s", i, got, want[i])
		}
	}
	if len(found.Columns) != len(want) || found.Columns[5].Sense != "highest" || found.Columns[5].Role != table.Goal {
		t.Errorf("%d columns, want %d; %+v", len(found.Columns), len(want), found.Columns[5])
	}
	again, err := output.Records(found)
	if err != nil || len(again) != 3 || again[0].Barrier != 1 || again[0].Flights != 400 || again[0].Hypervolume != 0.5 {
		t.Errorf("Records = %+v, %v", again, err)
	}
}

// What means nothing under the canopy is null there.
func TestPaths(t *testing.T) {
	found := output.Paths([][]model.Sample{
		nil,
		{{Phase: model.WaterPhase, T: 0.1, AirSpeed: 12, Pitch: 5 * degree}, {Phase: model.CanopyPhase, T: 9, AirSpeed: 4, Pitch: 1}},
	})
	want := map[string]string{
		"design": "[2 2]", "sample": "[1 2]", "phase": "[water canopy]", "t_s": "[0.1 9]", "airspeed_m_s": "[12 4]", "pitch_deg": "[5 NaN]", "thrust_n": "[0 NaN]",
	}
	for _, c := range found.Columns {
		if got := fmt.Sprint(c.Values); want[c.Name] != "" && got != want[c.Name] {
			t.Errorf("column %s = %s, want %s", c.Name, got, want[c.Name])
		}
	}
	if len(found.Columns) != 20 {
		t.Errorf("%d columns, want 20", len(found.Columns))
	}
}
