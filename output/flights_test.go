package output_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
)

// The varied payload and the limited margin are goals; what is limited and no
// goal stands behind them. Rows are in the order of the throat, then of the flights.
func TestFlightsTable(t *testing.T) {
	b := sample.Brief("")
	f := output.NewFlights(b, "ab12", 7)
	f.Set(2, 1, []float64{0.011, 0.08, 0}, &study.Kept{Numbers: []float64{100, 1.2, 4 * degree, 6e5, 2}, Feasible: true, Outcome: "landed"})
	f.Set(0, 2, []float64{0.012, 0.09, degree}, &study.Kept{Numbers: []float64{90, math.NaN(), math.NaN(), 6e5, 2}, Outcome: "no_lift_off"})
	f.Set(1, 3, []float64{0.011, 0.1, 0}, &study.Kept{Numbers: []float64{99, 1.2, 4 * degree, 6e5, 2}, Feasible: true, Outcome: "landed"})
	want := []string{
		"chamber_throat_m m varied  [0.011 0.011 0.012]",
		"payload_mass_kg kg goal highest [0.08 0.1 0.09]",
		"site_tilt_deg deg varied  [0 0 1]",
		"apogee_m m goal highest [100 99 90]",
		"margin_cal cal figure  [1.2 1.2 NaN]",
		"peak_incidence_deg deg figure  [4 4 NaN]",
		"chamber_pressure_pa Pa figure  [600000 600000 600000]",
		"proof_ratio 1 figure  [2 2 2]",
		"flight 1 identity  [1 3 2]",
		"feasible 1 identity  [true true false]",
		"outcome 1 identity  [landed landed no_lift_off]",
		"run_id 1 identity  [ab12 ab12 ab12]",
	}
	var got []string
	for _, c := range f.Table(3).Columns {
		got = append(got, fmt.Sprintf("%s %s %s %s %v", c.Name, c.Unit, c.Role, c.Sense, c.Values))
	}
	if !slices.Equal(got, want) {
		t.Errorf("columns = %q, want %q", got, want)
	}
	for i, m := range output.Numbers(b) {
		if key := []string{"apogee", "margin", "peak_incidence", "chamber.pressure", "proof_ratio"}[i]; m.Key != key {
			t.Errorf("number %d is %s, want %s", i, m.Key, key)
		}
	}
}
