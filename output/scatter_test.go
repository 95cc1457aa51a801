package output_test

import (
	"encoding/json"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"ullage/model"
	"ullage/output"
)

// aScatter has a figure of all flights, an angle, one of some flights, and
// none of the others.
func aScatter(designs int, days bool) output.Scatter {
	s := output.Scatter{Layout: aLayout(), Flights: 200, Seed: 7, Confidence: 0.95}
	for i := range designs {
		d := output.Scattered{
			Design: i + 1, X: []float64{0.011, 0.08, 2 * degree},
			Nominal: make([]output.Value, model.FigureCount), Spreads: make([]output.Spread, model.FigureCount),
			Chances: []output.Chance{{1, 0.98513}, {0.9996, 0.97}, {0.5, 0.44}}, All: output.Chance{Share: 0.495, AtLeast: 0.4351},
		}
		if days {
			d.Within = make([]float64, model.FigureCount)
			d.Within[model.Apogee] = 2
		}
		d.Nominal[model.Apogee] = output.Of(142, true)
		d.Spreads[model.Apogee] = output.Spread{200, 141.5, 3.25, 136, 137.5, 141, 146, 147}
		d.Spreads[model.Drift] = output.Spread{200, 60, 20, 25, 30, 60, 90, 95}
		d.Spreads[model.PeakIncidence] = output.Spread{200, 6 * degree, 2 * degree, 3 * degree, 4 * degree, 6 * degree, 9 * degree, 10 * degree}
		d.Spreads[model.DeploySpeed] = output.Spread{198, 9.5, 1, 8, 8.5, 9.5, 11, 11.5}
		d.WhatIfs = []output.WhatIf{
			{Key: "as_set", Doc: "as set", Outcome: model.Landed, Apogee: output.Of(142, true), LandingSpeed: output.Of(5.4, true), Drift: output.Of(61, true)},
			{Key: "canopy_fails", Doc: "canopy never opens", Outcome: model.Landed, Apogee: output.Of(142, true), LandingSpeed: output.Of(48, true), Drift: output.Of(-7, true), Missed: []string{"landing_speed"}},
			{Key: "heavier", Doc: "50 g heavier at the payload", Outcome: model.NoLiftOff},
		}
		s.Designs = append(s.Designs, d)
	}
	return s
}

func TestScatterText(t *testing.T) {
	s := aScatter(1, false)
	wantText(t, "Text", s.Text(), `200 flights under scatter, seed 7

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
  peak_incidence           99.9 %     97.0 %
  chamber.pressure         50.0 %     44.0 %
  all of them              49.5 %     43.5 %
  each bound alone holds with 95 % confidence

what if                         apogee  landing    drift
                                     m      m/s        m
  as set                           142     5.40     61.0
  canopy never opens               142     48.0    -7.00  misses landing_speed
  50 g heavier at the payload        -        -        -  no_lift_off
`)
	days := aScatter(1, true)
	if text := days.Text(); !strings.Contains(text, "p95 in a day\n  apogee               m         142     3.25      136      138      141      146      147     2.00\n") {
		t.Errorf("where days differ:\n%s", text)
	}
	front := aScatter(2, false)
	wantText(t, "Text", front.Text(), `200 flights of each design under scatter, seed 7

        apogee  apogee  apogee  drift  drift  drift  drift    limits    limits
design    mean      sd     p10   mean     sd    p05    p95  all kept  at least  least kept
             m       m       m      m      m      m      m         %         %
     1     142    3.25     138   60.0   20.0   25.0   95.0      49.5      43.5  chamber.pressure
     2     142    3.25     138   60.0   20.0   25.0   95.0      49.5      43.5  chamber.pressure
each bound alone holds with 95 % confidence
`)
	for _, s := range []output.Scatter{s, days, front} {
		for line := range strings.Lines(s.Text()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 100 {
				t.Errorf("%d columns: %s", n, line)
			}
		}
	}
}

// TestScatterTable reads the numbers back under their names, in written units.
func TestScatterTable(t *testing.T) {
	s := aScatter(2, true)
	path := filepath.Join(t.TempDir(), "scatter.parquet")
	if err := output.WriteTable(path, s.Table(), output.Meta{Seed: 7}); err != nil {
		t.Fatal(err)
	}
	table, meta, err := output.ReadParquet(path)
	if err != nil || meta.Seed != 7 || !reflect.DeepEqual(table, s.Table()) {
		t.Fatalf("read back (%v): %+v", err, meta)
	}
	columns := map[string]output.Column{}
	for _, c := range table.Columns {
		columns[c.Name] = c
	}
	for name, want := range map[string]any{
		"design":                  []int32{1, 2},
		"flights":                 []int32{200, 200},
		"apogee_as_set_m":         []output.Value{output.Of(142, true), output.Of(142, true)},
		"apogee_p90_m":            []output.Value{output.Of(146, true), output.Of(146, true)},
		"apogee_sd_within_day_m":  []output.Value{output.Of(2, true), output.Of(2, true)},
		"peak_incidence_p10_deg":  []output.Value{output.Of(4, true), output.Of(4, true)},
		"tube_time_mean_s":        []output.Value{{}, {}},
		"deploy_speed_flights":    []int32{198, 198},
		"chance_margin":           []output.Value{output.Of(1, true), output.Of(1, true)},
		"chance_least_all":        []output.Value{output.Of(0.4351, true), output.Of(0.4351, true)},
		"chance_chamber_pressure": []output.Value{output.Of(0.5, true), output.Of(0.5, true)},
	} {
		if got := columns[name].Values; !reflect.DeepEqual(got, want) {
			t.Errorf("column %s = %v, want %v", name, got, want)
		}
	}
	s = aScatter(1, false)
	for _, c := range s.Table().Columns {
		if strings.Contains(c.Name, "within_day") {
			t.Errorf("column %s where days do not differ", c.Name)
		}
	}
}

func TestScatterJSON(t *testing.T) {
	s := aScatter(1, false)
	text, err := s.JSON()
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
			Chances map[string]map[string]float64
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
	case d.Chances["all"]["at_least"] != 0.4351 || d.Chances["peak_incidence"]["share"] != 0.9996:
		t.Errorf("chances %v", d.Chances)
	case d.WhatIfs["heavier"].Outcome != "no_lift_off" || d.WhatIfs["heavier"].Apogee != nil || d.WhatIfs["heavier"].Missed == nil:
		t.Errorf("what ifs %+v", d.WhatIfs)
	}
}

// TestProofs adds what was proved to the front of a robust search, and tells
// limits that some flights miss.
func TestProofs(t *testing.T) {
	l, rows := aLayout(), someRows()
	l.Confidence, l.Summed = 0.9, []string{"best 2 of 3", "mean"}
	rows[0].Goals = []output.Value{output.Of(140, true), output.Of(0.08, true)}
	rows[0].Chances = []output.Chance{{0.99, 0.95}, {1, 0.98}, {0.97, 0.93}}
	rows[0].Held = true
	columns := map[string]output.Column{}
	for _, c := range l.Front(rows).Columns {
		columns[c.Name] = c
	}
	for name, want := range map[string]any{
		"best_2_of_3_apogee_m":          []output.Value{output.Of(140, true), {}},
		"mean_payload_mass_kg":          []output.Value{output.Of(0.08, true), {}},
		"chance_margin":                 []output.Value{output.Of(0.99, true), {}},
		"chance_least_chamber_pressure": []output.Value{output.Of(0.93, true), {}},
		"feasible":                      []bool{true, false},
	} {
		if got := columns[name].Values; !reflect.DeepEqual(got, want) {
			t.Errorf("column %s = %v, want %v", name, got, want)
		}
	}
	if got := l.Missed(rows[0]); len(got) != 0 {
		t.Errorf("missed %v, want none", got)
	}
	if !l.Feasible(rows) || l.Feasible(rows[1:]) {
		t.Error("feasible is the row that was proved, and no other")
	}
	if text := l.FrontText(rows, 2); !strings.Contains(text, "best 2 of 3") || !strings.Contains(text, "  chamber.pressure, margin\n") {
		t.Errorf("front =\n%s\nwant the goals as summed up, the least kept limit first", text)
	}
	rows[0].Chances[1].AtLeast = 0.89
	if got := l.Missed(rows[0]); !reflect.DeepEqual(got, []string{"peak_incidence"}) {
		t.Errorf("missed %v, want peak_incidence", got)
	}
}
