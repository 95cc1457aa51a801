package text_test

import (
	"encoding/json"
	"strings"
	"testing"

	"ullage/model"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/text"
)

func TestFlyJSON(t *testing.T) {
	got, err := text.FlyJSON(sample.Layout(), sample.Rows()[1])
	if err != nil {
		t.Fatal(err)
	}
	want := `{
  "outcome": "landed",
  "design": {
    "chamber_throat_m": 0.0085,
    "payload_mass_kg": 0.24,
    "site_tilt_deg": 0
  },
  "figures": {
    "apogee_m": 98.449,
    "margin_cal": 0.9,
    "peak_incidence_deg": null,
    "deploy_speed_m_s": null
  },
  "slacks": {
    "slack_margin_cal": -0.1,
    "slack_peak_incidence_deg": null,
    "slack_chamber_pressure_pa": 200000
  },
  "warnings": [
    "mach_high",
    "fill_extreme"
  ]
}
`
	if string(got) != want {
		t.Errorf("FlyJSON = %s, want %s", got, want)
	}
}

func TestFlyJSONOfAFailure(t *testing.T) {
	l := output.Layout{Figures: output.FlightFigures()}
	got, err := text.FlyJSON(l, output.FlightRow(&model.Flight{Outcome: model.NoRoom}))
	if err != nil {
		t.Fatal(err)
	}
	var found struct {
		Outcome  string
		Design   map[string]float64
		Figures  map[string]*float64
		Slacks   map[string]float64
		Warnings []string
	}
	if err := json.Unmarshal(got, &found); err != nil {
		t.Fatal(err)
	}
	if found.Outcome != "no_room" || len(found.Figures) != model.FigureCount || found.Design == nil || found.Slacks == nil || found.Warnings == nil {
		t.Errorf("FlyJSON = %s, want every figure and empty design, slacks, warnings", got)
	}
	for key, v := range found.Figures {
		if v != nil {
			t.Errorf("%s = %v, want null", key, *v)
		}
	}
	if !strings.HasPrefix(string(got), "{\n  \"outcome\"") {
		t.Errorf("FlyJSON begins with %.20q, want the outcome", got)
	}
}
