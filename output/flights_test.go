package output_test

import (
	"math"
	"reflect"
	"testing"

	"ullage/output"
	"ullage/output/table"
)

// sweepLayout has a goal that is varied, one that is limited, and an angle.
func sweepLayout() output.Layout {
	return output.Layout{
		Varied: []table.Quantity{{Key: "payload.mass", Unit: "kg"}, {Key: "site.tilt", Unit: "rad"}},
		Goals: []table.Quantity{
			{Key: "apogee", Unit: "m", Sense: "highest"}, {Key: "payload.mass", Unit: "kg", Sense: "highest"}, {Key: "margin", Unit: "cal", Sense: "highest"},
		},
		Limits: []table.Quantity{{Key: "margin", Unit: "cal"}, {Key: "deploy_speed", Unit: "m/s"}},
	}
}

func TestFlightsTable(t *testing.T) {
	f := sweepLayout().NewFlights(7)
	for i := range 2 {
		v := float64(i)
		f.Set(i, []float64{v / 7, math.Pi / 180 * v}, []table.Value{table.Of(100+v/3, true), table.Of(-v, true), table.Of(v, i%2 == 0)}, i%3 == 0, "landed")
	}
	got := f.Table(2)
	want := []table.Column{
		{Name: "payload_mass_kg", Unit: "kg", Role: table.Goal, Sense: "highest", Values: []float64{0, 1.0 / 7}},
		{Name: "site_tilt_deg", Unit: "deg", Role: table.Varied, Values: []float64{0, 1}},
		{Name: "apogee_m", Unit: "m", Role: table.Goal, Sense: "highest", Values: []table.Value{table.Of(100, true), table.Of(100+1.0/3, true)}},
		{Name: "margin_cal", Unit: "cal", Role: table.Goal, Sense: "highest", Values: []table.Value{table.Of(math.Copysign(0, -1), true), table.Of(-1, true)}},
		{Name: "deploy_speed_m_s", Unit: "m/s", Role: table.Figure, Values: []table.Value{table.Of(0, true), {}}},
		{Name: "feasible", Unit: "1", Role: table.Identity, Doc: "meets every limit", Values: []bool{true, false}},
		{Name: "outcome", Unit: "1", Role: table.Identity, Doc: "landed, or why the flight could not be computed", Values: []string{"landed", "landed"}},
	}
	if !reflect.DeepEqual(got.Columns, want) {
		t.Errorf("columns =\n%+v, want\n%+v", got.Columns, want)
	}
}
