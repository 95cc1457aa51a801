package output_test

import (
	"math"
	"reflect"
	"testing"

	"ullage/output"
)

// sweepLayout has a goal that is varied, one that is limited, and an angle.
func sweepLayout() output.Layout {
	return output.Layout{
		Varied: []output.Quantity{{Key: "payload.mass", Unit: "kg"}, {Key: "site.tilt", Unit: "rad"}},
		Goals: []output.Quantity{
			{Key: "apogee", Unit: "m", Sense: "highest"}, {Key: "payload.mass", Unit: "kg", Sense: "highest"}, {Key: "margin", Unit: "cal", Sense: "highest"},
		},
		Limits: []output.Quantity{{Key: "margin", Unit: "cal"}, {Key: "deploy_speed", Unit: "m/s"}},
	}
}

func TestFlightsTable(t *testing.T) {
	f := sweepLayout().NewFlights(7)
	for i := range 2 {
		v := float64(i)
		f.Set(i, []float64{v / 7, math.Pi / 180 * v}, []output.Value{output.Of(100+v/3, true), output.Of(-v, true), output.Of(v, i%2 == 0)}, i%3 == 0, "landed")
	}
	got := f.Table(2)
	want := []output.Column{
		{Name: "payload_mass_kg", Unit: "kg", Role: output.Goal, Sense: "highest", Values: []float64{0, 1.0 / 7}},
		{Name: "site_tilt_deg", Unit: "deg", Role: output.Varied, Values: []float64{0, 1}},
		{Name: "apogee_m", Unit: "m", Role: output.Goal, Sense: "highest", Values: []output.Value{output.Of(100, true), output.Of(100+1.0/3, true)}},
		{Name: "margin_cal", Unit: "cal", Role: output.Goal, Sense: "highest", Values: []output.Value{output.Of(math.Copysign(0, -1), true), output.Of(-1, true)}},
		{Name: "deploy_speed_m_s", Unit: "m/s", Role: output.Figure, Values: []output.Value{output.Of(0, true), {}}},
		{Name: "feasible", Unit: "1", Role: output.Identity, Doc: "meets every limit", Values: []bool{true, false}},
		{Name: "outcome", Unit: "1", Role: output.Identity, Doc: "landed, or why the flight could not be computed", Values: []string{"landed", "landed"}},
	}
	if !reflect.DeepEqual(got.Columns, want) {
		t.Errorf("columns =\n%+v, want\n%+v", got.Columns, want)
	}
}
