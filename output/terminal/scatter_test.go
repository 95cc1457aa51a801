package terminal_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"ullage/constraints"
	"ullage/model"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/terminal"
	"ullage/output/text"
)

func TestScatterText(t *testing.T) {
	s := sample.Scatter(1, false)
	flown := func(id model.Figure) string { return text.Three(output.FigureOf(&s.Designs[0].Nominal, id)) }
	planned := fmt.Sprintf("%8s %8s %8s", flown(model.Apogee), flown(model.LandingSpeed), flown(model.Drift))
	wantText(t, "Scatter", terminal.Scatter(&s), `200 flights under scatter, seed 7
NOT JUDGED: dry_margin, deploy_speed, landing_speed

design 1
  chamber.throat  11.0 mm
  payload.mass    80.0 g
  site.tilt       2.00 deg

figures                         mean       sd      p05      p10      p50      p90      p95
  apogee               m         142     3.25      136      138      141      146      147
  peak_incidence       deg      6.00     2.00     3.00     4.00     6.00     9.00     10.0
  deploy_speed         m/s      9.50     1.00     8.00     8.50     9.50     11.0     11.5*
  drift                m        60.0     20.0     25.0     30.0     60.0     90.0     95.0
  * only some flights have it: deploy_speed 198

landing, downwind of the pad
  mean 60.0 m, sd 20.0 m; nine flights in ten between 25.0 and 95.0 m

limits: chance to keep of flights  at least
  margin                  100.0 %     98.5 %
  peak_incidence           99.9 %     99.9 %
  chamber.pressure         50.0 %     43.9 %  as set, not as drawn
  proof_ratio             100.0 %     98.5 %  as set, not as drawn
  all of them              49.5 %     43.4 %
  each bound alone holds with 95 % confidence

what if                         apogee  landing    drift
                                     m      m/s        m
  as set                      `+planned+`
  canopy never opens          `+planned+`  misses landing_speed
  50 g heavier at the payload        -        -        -  no_lift_off
`)
	days := sample.Scatter(1, true)
	if text := terminal.Scatter(&days); !strings.Contains(text, "p95 in a day\n  apogee               m         142     3.25      136      138      141      146      147     2.00\n") {
		t.Errorf("where days differ:\n%s", text)
	}
	front := sample.Scatter(2, false)
	wantText(t, "Scatter", terminal.Scatter(&front), `200 flights of each design under scatter, seed 7
NOT JUDGED: dry_margin, deploy_speed, landing_speed

        apogee  apogee  apogee  drift  drift  drift  drift    limits    limits
design    mean      sd     p10   mean     sd    p05    p95  all kept  at least  least kept
             m       m       m      m      m      m      m         %         %
     1     142    3.25     138   60.0   20.0   25.0   95.0      49.5      43.4  chamber.pressure
     2     142    3.25     138   60.0   20.0   25.0   95.0      49.5      43.4  chamber.pressure
each bound alone holds with 95 % confidence
`)
	for _, s := range []output.Scatter{s, days, front} {
		for line := range strings.Lines(terminal.Scatter(&s)) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 100 {
				t.Errorf("%d columns: %s", n, line)
			}
		}
	}
}

func TestScatterJSON(t *testing.T) {
	s := sample.Scatter(1, false)
	text, err := terminal.ScatterJSON(&s)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Flights    int
		Seed       int
		Confidence float64
		Designs    []struct {
			Number  int
			Design  map[string]float64
			Figures map[string]map[string]*float64
			Chances map[string]struct {
				Share   float64
				AtLeast float64 `json:"at_least"`
				AsSet   bool    `json:"as_set"`
			}
			WhatIfs map[string]struct {
				Outcome string
				Apogee  *float64 `json:"apogee_m"`
				Missed  []string
			} `json:"what_ifs"`
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	d := got.Designs[0]
	switch {
	case got.Flights != 200 || got.Seed != 7 || got.Confidence != 0.95 || d.Number != 1:
		t.Errorf("report %+v", got)
	case d.Design["site_tilt_deg"] != 2 || *d.Figures["peak_incidence_deg"]["p95"] != 10 || d.Figures["tube_time_s"]["mean"] != nil:
		t.Errorf("design %v, incidence %v, tube time %v", d.Design, d.Figures["peak_incidence_deg"], d.Figures["tube_time_s"])
	case d.Chances["all"].AtLeast != s.Designs[0].All.AtLeast() || d.Chances["peak_incidence"].Share != 0.9996 ||
		d.Chances["peak_incidence"].AsSet || !d.Chances["proof_ratio"].AsSet || !d.Chances["chamber.pressure"].AsSet && !d.Chances["chamber_pressure"].AsSet:
		t.Errorf("chances %v", d.Chances)
	case d.WhatIfs["heavier"].Outcome != "no_lift_off" || d.WhatIfs["heavier"].Apogee != nil || d.WhatIfs["heavier"].Missed == nil:
		t.Errorf("what ifs %+v", d.WhatIfs)
	}
}

// Where no flight lands nothing is said of a landing, and without questions nothing of
// what if; the limit that is kept least often is the first of those.
func TestScatterOfLittle(t *testing.T) {
	s := sample.Scatter(1, false)
	s.Designs[0].Spreads[model.Drift].Count, s.Designs[0].WhatIfs, s.Designs[0].Design = 0, nil, 0
	got := terminal.Scatter(&s)
	if strings.Contains(got, "landing, downwind") || strings.Contains(got, "what if") || !strings.Contains(got, "\ndesign\n") {
		t.Errorf("of no landing and no question:\n%s", got)
	}
	if data, err := terminal.ScatterJSON(&s); err != nil || strings.Contains(string(data), `"number"`) {
		t.Errorf("JSON of the brief's own design has a number: %v\n%s", err, data)
	}
	if !strings.Contains(got, "\n  * only some") {
		t.Errorf("what only some flights have is not noted:\n%s", got)
	}
	all := sample.Scatter(1, false)
	all.Designs[0].Spreads[model.DeploySpeed].Count = 200
	all.Brief.Vary = nil
	if got := terminal.Scatter(&all); strings.Contains(got, "*") || strings.Contains(got, "\ndesign") {
		t.Errorf("of what all flights have, without a design:\n%s", got)
	}
	two := sample.Scatter(2, false)
	for i := range two.Designs[0].Chances {
		two.Designs[0].Chances[i] = constraints.Chance{Met: 200, Flights: 200}
	}
	two.Designs[1].Chances[0] = two.Designs[1].Chances[2]
	lines := strings.Split(terminal.Scatter(&two), "\n")
	if !strings.HasSuffix(lines[6], "43.4") || !strings.HasSuffix(lines[7], "43.4  margin") {
		t.Errorf("lines %q and %q, want no limit, and the first of two", lines[6], lines[7])
	}
}
