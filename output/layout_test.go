package output_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/model"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
)

const degree = math.Pi / 180

func TestFrontColumns(t *testing.T) {
	found := sample.Layout().Front(sample.Rows())
	want := []string{ // name, unit, role, sense
		"design 1 identity ",
		"chamber_throat_m m varied ",
		"payload_mass_kg kg goal highest",
		"site_tilt_deg deg varied ",
		"apogee_m m goal highest",
		"margin_cal cal figure ",
		"peak_incidence_deg deg figure ",
		"deploy_speed_m_s m/s figure ",
		"slack_margin_cal cal slack ",
		"slack_peak_incidence_deg deg slack ",
		"slack_chamber_pressure_pa Pa slack ",
		"binding 1 identity ",
		"knee 1 identity ",
		"feasible 1 identity ",
		"warnings 1 identity ",
	}
	got := []string{}
	columns := map[string]table.Column{}
	for _, c := range found.Columns {
		got = append(got, fmt.Sprintf("%s %s %s %s", c.Name, c.Unit, c.Role, c.Sense))
		columns[c.Name] = c
		if c.Doc == "" && c.Role != table.Figure {
			t.Errorf("%s has no doc", c.Name)
		}
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("columns = %q, want %q", got, want)
	}
	for name, want := range map[string]any{
		"design":                   []int32{1, 2},
		"payload_mass_kg":          []float64{0.08, 0.24},
		"site_tilt_deg":            []float64{2, 0},
		"peak_incidence_deg":       []table.Value{table.Of(4, true), {}},
		"slack_peak_incidence_deg": []table.Value{table.Of(1, true), {}},
		"slack_margin_cal":         []table.Value{table.Of(0.32, true), table.Of(-0.1, true)},
		"binding":                  [][]string{{"chamber.pressure"}, {}},
		"knee":                     []bool{true, false},
		"feasible":                 []bool{true, false},
		"warnings":                 [][]string{{}, {"mach_high", "fill_extreme"}},
	} {
		if got := columns[name].Values; !reflect.DeepEqual(got, want) {
			t.Errorf("%s = %v, want %v", name, got, want)
		}
	}
}

// A limit that the flight has no number for is missed, not met.
func TestMissingSlackIsInfeasible(t *testing.T) {
	l := output.Layout{Limits: []table.Quantity{{Key: "deploy_speed", Unit: "m/s"}}}
	found := l.Front([]output.Row{{Slacks: []table.Value{{}}}, {Slacks: []table.Value{table.Of(0, true)}}})
	for _, c := range found.Columns {
		if c.Name == "feasible" && !reflect.DeepEqual(c.Values, []bool{false, true}) {
			t.Errorf("feasible = %v, want [false true]", c.Values)
		}
	}
}

// Degrees come back from radians within the two roundings on the way, and
// whole ones mostly whole: 7 of 91 do not, where 180/π as a factor spoils 19.
func TestAnglesComeBack(t *testing.T) {
	l := output.Layout{Varied: []table.Quantity{{Key: "site.tilt", Unit: "rad"}}}
	spoilt := 0
	for i := range 91 {
		found := l.Front([]output.Row{{X: []float64{float64(i) * degree}}})
		got, want := found.Columns[1].Values.([]float64)[0], float64(i)
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

func TestFlightRowOfNothing(t *testing.T) {
	r := output.FlightRow(&model.Flight{Outcome: model.NoLiftOff, Warnings: model.FillExtreme})
	if len(r.Figures) != len(output.FlightFigures()) || len(r.Figures) != model.FigureCount {
		t.Errorf("%d values for %d figures, want %d", len(r.Figures), len(output.FlightFigures()), model.FigureCount)
	}
	for i, v := range r.Figures {
		if v.Applies {
			t.Errorf("figure %d applies to a flight that has none", i)
		}
	}
	if r.Outcome != model.NoLiftOff || r.Warnings != model.FillExtreme {
		t.Errorf("outcome %v, warnings %v", r.Outcome, r.Warnings.Keys())
	}
}

func TestOrder(t *testing.T) {
	for _, row := range []struct {
		why   string
		goals [][]float64
		want  []int
	}{
		{"the middle of a concave front is the knee", [][]float64{{0, 10}, {1, 1}, {10, 0}}, []int{1, 0, 2}},
		{"each goal counts by its own range", [][]float64{{0, 1e6}, {0.9, 0}, {1, 4e5}}, []int{1, 0, 2}},
		{"ties keep their order", [][]float64{{1, 0}, {0, 1}, {1, 0}, {0, 1}}, []int{0, 1, 2, 3}},
		{"a goal that does not vary says nothing", [][]float64{{5, 3}, {5, 1}, {5, 2}}, []int{1, 2, 0}},
		{"many ties keep their order", slices.Repeat([][]float64{{0, 1}, {0.5, 0.5}, {1, 0}}, 50), middlesFirst(50)},
		{"one design", [][]float64{{5, 3}}, []int{0}},
		{"none", nil, []int{}},
	} {
		if got := output.Order(row.goals); !reflect.DeepEqual(got, row.want) {
			t.Errorf("%s: Order = %v, want %v", row.why, got, row.want)
		}
	}
}

// middlesFirst returns 1, 4, 7 … then 0, 2, 3, 5 … of n threes.
func middlesFirst(n int) []int {
	first, rest := []int{}, []int{}
	for i := range n {
		first = append(first, 3*i+1)
		rest = append(rest, 3*i, 3*i+2)
	}
	return append(first, rest...)
}

func TestHistory(t *testing.T) {
	goals := []table.Quantity{{Key: "apogee", Unit: "m", Sense: "highest"}, {Key: "thrust_end_lean", Unit: "rad", Sense: "lowest"}}
	found := output.History(goals, []output.Epoch{
		{Epoch: 1, Island: 2, Flights: 400, FeasibleShare: 0.25, Hypervolume: 0.5, Seconds: 1.5, Best: []table.Value{table.Of(120, true), table.Of(3*degree, true)}},
		{Epoch: 1, Island: 3, Best: []table.Value{{}, {}}},
	})
	want := []string{
		"epoch [1 1]", "island [2 3]", "flights [400 0]", "feasible_share [0.25 0]", "hypervolume [0.5 0]",
		"best_apogee_m [{120 true} {0 false}]", "best_thrust_end_lean_deg [{3 true} {0 false}]", "seconds [1.5 0]",
	}
	for i, c := range found.Columns {
		if got := fmt.Sprintf("%s %v", c.Name, c.Values); got != want[i] {
			t.Errorf("column %d = %s, want %s", i, got, want[i])
		}
	}
	if len(found.Columns) != len(want) || found.Columns[6].Sense != "lowest" || found.Columns[6].Role != table.Goal {
		t.Errorf("%d columns, want %d; %+v", len(found.Columns), len(want), found.Columns[6])
	}
}

func TestPaths(t *testing.T) {
	series := []table.Quantity{{Key: "t", Unit: "s"}, {Key: "air_speed", Unit: "m/s"}, {Key: "pitch", Unit: "rad"}}
	found := output.Paths(series, []output.Sample{
		{Design: 3, Phase: "water", Values: []float64{0.1, 12, 5 * degree}},
		{Design: 3, Phase: "canopy", Values: []float64{9, 4, math.NaN()}},
	})
	want := []string{
		"design [3 3]", "phase [water canopy]", "t_s [{0.1 true} {9 true}]", "air_speed_m_s [{12 true} {4 true}]",
		"pitch_deg [{5 true} {0 false}]",
	}
	for i, c := range found.Columns {
		if got := fmt.Sprintf("%s %v", c.Name, c.Values); got != want[i] {
			t.Errorf("column %d = %s, want %s", i, got, want[i])
		}
	}
	if len(found.Columns) != len(want) {
		t.Errorf("%d columns, want %d", len(found.Columns), len(want))
	}
}
