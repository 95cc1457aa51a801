package terminal_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/terminal"
	"ullage/testdata/briefs"
)

func TestEffects(t *testing.T) {
	e := sample.Effects(3)
	of := func(id model.Figure) float64 { return output.FigureOf(&e.Flight, id) }
	wantText(t, "Effects", terminal.Effects(&e), `design 3 as set, and what one change adds; largest change of the apogee first

                                                   apogee  margin  landing  drift  accel.
                                                        m     cal      m/s      m      gn
`+fmt.Sprintf("as set                                             %6.1f  %6.2f  %7.2f  %5.1f  %6.1f\n",
		of(model.Apogee), of(model.Margin), of(model.LandingSpeed), of(model.Drift), of(model.Acceleration)/9.80665)+
		`payload.mass 10 g more                                  -   +0.12        -      -    -0.1  *
body.drag 20 % more, not known                      -12.3    0.00     0.00  -30.0     0.0
chamber.gas_temperature 8.42 degC more, not known    +1.3    0.00    +0.01    0.0    +2.0  *
fins.count 1 more                                    -1.0   +0.20     0.00    0.0     0.0
site.tilt 1 deg less                                  0.0    0.00     0.00   +3.0     0.0
chamber.fill 44.5 ml more                            +0.1    0.00     0.00    0.0     0.0

as set it misses peak_incidence

* misses limits that it keeps as set
  payload.mass 10 g more: landing_speed
  chamber.gas_temperature 8.42 degC more, not known: margin, apogee

less than these digits show: site.humidity
`)
	for line := range strings.Lines(terminal.Effects(&e)) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 100 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	quiet := sample.Effects(3)
	quiet.Missed, quiet.Changes = nil, quiet.Changes[3:4]
	if got := terminal.Effects(&quiet); strings.Contains(got, "misses") || strings.Contains(got, "less than these digits") || strings.HasSuffix(got, "\n\n") {
		t.Errorf("of a design that misses nothing:\n%s", got)
	}
	b := sample.Effects(0)
	if text := terminal.Effects(&b); !strings.HasPrefix(text, "as set, and") {
		t.Errorf("of a brief's own design:\n%s", text)
	}
}

func TestEffectsJSON(t *testing.T) {
	e := sample.Effects(3)
	text, err := terminal.EffectsJSON(&e)
	if err != nil {
		t.Fatal(err)
	}
	type figures struct {
		Apogee       *float64 `json:"apogee_m"`
		Margin       *float64 `json:"margin_cal"`
		LandingSpeed *float64 `json:"landing_speed_m_s"`
		Drift        *float64 `json:"drift_m"`
		Acceleration *float64 `json:"acceleration_m_s2"`
	}
	var got struct {
		Number  int
		Design  map[string]float64
		AsSet   figures `json:"as_set"`
		Missed  []string
		Changes []struct {
			Quantity string
			Step     float64
			Unit     string `json:"step_unit"`
			Doubt    bool   `json:"is_doubt"`
			Missed   []string
			figures
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.Number != 3 || got.Design["site_tilt_deg"] != 2 || *got.AsSet.Apogee != output.FigureOf(&e.Flight, model.Apogee) || got.Missed[0] != "peak_incidence" {
		t.Errorf("%s", text)
	}
	mass, drag, tilt := got.Changes[0], got.Changes[1], got.Changes[4]
	if mass.Apogee != nil || *mass.Margin != 0.123 || mass.Missed[0] != "landing_speed" || mass.Doubt {
		t.Errorf("payload: %+v", mass)
	}
	if !drag.Doubt || *drag.Apogee != -12.34 || *drag.Drift != -30 || drag.Missed == nil || drag.Quantity != "body.drag" || drag.Unit != "1" {
		t.Errorf("drag: %+v", drag)
	}
	if tilt.Step != -1 || tilt.Unit != "deg" {
		t.Errorf("tilt: %+v", tilt)
	}
}

// TestMeasureFirst words what weighs most, whatever it is.
func TestMeasureFirst(t *testing.T) {
	laws := scatter.Doubts(briefs.Demo(t, "lighter-or-stable.toml"))
	for _, law := range laws {
		lines := terminal.MeasureFirst([]answers.Doubt{
			{Figure: model.Apogee, Value: 122, Low: 107, High: 133.4, Most: law.Quantity},
			{Figure: model.Drift, Value: 1, Low: 1, High: 1, Most: law.Quantity},
			{Figure: model.LandingSpeed, Value: 5, Low: 4.4, High: 5.63, Most: law.Quantity},
		})
		begins := []string{
			"apogee 122 m as modelled; 107 to 133 for what is not known, most of it " + law.Key + ": measure ",
			"landing speed 5.00 m/s as modelled; 4.40 to 5.63 for what is not known, most of it " + law.Key + ": measure ",
		}
		if len(lines) != 2 || !strings.HasPrefix(lines[0], begins[0]) || !strings.HasPrefix(lines[1], begins[1]) {
			t.Errorf("%q, want %q and how", lines, begins)
		}
		if strings.Contains(lines[0], law.Doc) {
			t.Errorf("%s: no words for how to measure it", law.Key)
		}
	}
	if len(laws) < 9 {
		t.Errorf("%d doubts of a soft chamber, want all nine", len(laws))
	}
	if lines := terminal.MeasureFirst(nil); lines == nil || len(lines) > 0 {
		t.Errorf("of no doubts: %v, want an empty list", lines)
	}
}

// A change of a word says the word, in JSON too, and what no step of it is felt by is
// named apart; a change that only breaks a limit is shown.
func TestEffectsOfWords(t *testing.T) {
	e := sample.Effects(3)
	still := []float64{0.04, -0.004, 0.004, 0.04, 0.4}
	e.Changes = []answers.Effect{
		{Quantity: brief.MustQuantity("fins.count"), Word: "4, faired", Step: 1, Changes: []float64{0, 0, 0.006, 0, 0}},
		{Quantity: brief.MustQuantity("fins.root"), Step: -0.0012345, Changes: still, Missed: []string{"margin"}},
		{Quantity: brief.MustQuantity("fins.tip"), Step: 0.001, Changes: still},
	}
	got := terminal.Effects(&e)
	for _, want := range []string{"\nfins.count 4, faired ", "\nfins.root 1.23 mm less ", "\nless than these digits show: fins.tip\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	own := sample.Effects(0)
	if data, err := terminal.EffectsJSON(&own); err != nil || strings.Contains(string(data), `"number"`) {
		t.Errorf("JSON of the brief's own design has a number: %v\n%s", err, data)
	}
	data, err := terminal.EffectsJSON(&e)
	if err != nil || strings.Count(string(data), `"word"`) != 1 || !strings.Contains(string(data), `"word": "4, faired"`) {
		t.Errorf("JSON %s, %v, want the word once", data, err)
	}
}
