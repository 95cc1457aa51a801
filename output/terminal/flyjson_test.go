package terminal_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/terminal"
)

func TestFlyJSON(t *testing.T) {
	rows := sample.Rows()
	got, err := terminal.FlyJSON(sample.Brief(""), &rows[1], sample.Doubts()[:3])
	if err != nil {
		t.Fatal(err)
	}
	// Of the figures, which all stand there, only some.
	lines := strings.Split(string(got), "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool {
		return strings.HasSuffix(l, ": null,") && !strings.Contains(l, "peak_incidence") || strings.HasSuffix(l, ": null")
	})
	wantText(t, "FlyJSON", strings.Join(lines, "\n"), `{
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
  },
  "doubts": {
    "apogee_m": {
      "value": 142.3,
      "low": 120,
      "high": 151,
      "most": "chamber.drawn"
    },
    "drift_m": {
      "value": -20,
      "low": -25.5,
      "high": -15,
      "most": "recovery.drag"
    },
    "landing_speed_m_s": {
      "value": 5,
      "low": 4.4,
      "high": 5.6,
    }
  },
  "slacks": {
    "slack_margin_cal": -0.1,
    "slack_peak_incidence_deg": null,
    "slack_chamber_pressure_pa": 200000,
    "slack_proof_ratio": 0.5
  },
  "warnings": [
    "mach_high",
    "fill_extreme"
  ]
}
`)
}

func TestFlyJSONOfAFailure(t *testing.T) {
	row := study.Row{Outcome: model.NoRoom, Figures: sample.Figures(nil), Slacks: make([]float64, 4), X: make([]float64, 3)}
	got, err := terminal.FlyJSON(sample.Brief(""), &row, nil)
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
	if found.Outcome != "no_room" || len(found.Figures) != len(study.Figures()) || found.Design == nil || found.Slacks == nil || found.Warnings == nil {
		t.Errorf("FlyJSON = %s, want every figure, design, slacks, warnings", got)
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
