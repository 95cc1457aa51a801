package text_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"ullage/model"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
	"ullage/output/text"
)

func wantText(t *testing.T, name, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s =\n%s\nwant\n%s", name, got, want)
	}
}

func TestFly(t *testing.T) {
	wantText(t, "Fly", text.Fly(sample.Layout(), sample.Rows()[0]), `landed

design
  chamber.throat  11.0 mm
  payload.mass    80.0 g
  site.tilt       2.00 deg

figures
  apogee           142 ± 11 m (uncalibrated, 8 %)
  margin          1.32 cal
  peak_incidence  4.00 deg
  deploy_speed    9.87 m/s

limits: distance to each, positive inside
  margin             +0.320 cal
  peak_incidence      +1.00 deg
  chamber.pressure  +0.0100 bar binding
`)
	wantText(t, "Fly", text.Fly(sample.Layout(), sample.Rows()[1]), `landed

design
  chamber.throat  8.50 mm
  payload.mass     240 g
  site.tilt          0 deg

figures
  apogee           98.4 ± 7.9 m (uncalibrated, 8 %)
  margin          0.900 cal
  peak_incidence      -
  deploy_speed        -

limits: distance to each, positive inside
  margin            -0.100 cal missed
  peak_incidence         - missed: the flight does not have it
  chamber.pressure   +2.00 bar

caution: Mach above 0.8: drag and fin lift are outside the model
caution: fill outside 5 to 80 %: the water phase is outside the model
`)
}

// A flight that was not computed has no figures to show.
func TestFlyOfAFailure(t *testing.T) {
	l := output.Layout{Figures: output.FlightFigures()}
	wantText(t, "Fly", text.Fly(l, output.FlightRow(&model.Flight{Outcome: model.NoLiftOff})), "no_lift_off\n")
}

func TestFront(t *testing.T) {
	wantText(t, "Front", text.Front(sample.Layout(), sample.Rows(), 10), `
                payload  chamber  site
design  apogee     mass   throat  tilt  limits
             m        g       mm   deg
     1     142     80.0     11.0  2.00  chamber.pressure
     2    98.4      240     8.50     0  misses margin, peak_incidence
design 1 is the knee, the best compromise of all goals
`[1:])
	rows := make([]output.Row, 100)
	for i := range rows {
		rows[i] = sample.Rows()[0]
		rows[i].Design = i + 1
	}
	got := text.Front(sample.Layout(), rows, 12)
	if lines := strings.Split(got, "\n"); len(lines) != 3+12+3+1 ||
		lines[15] != "and 88 more in front.parquet" || lines[17] != "at its limit in every design: chamber.pressure" {
		t.Errorf("Front of 100 rows, 12 shown =\n%s", got)
	}
	wantText(t, "Front of nothing", text.Front(output.Layout{Figures: output.FlightFigures()}, nil, 5), "design  limits\n")
}

// Whatever is varied and however many limits bind, a line fits the terminal.
func TestFrontFits(t *testing.T) {
	for quantities := range 20 {
		var l output.Layout
		row := output.Row{Design: 100, Outcome: model.Landed}
		for i := range quantities {
			l.Varied = append(l.Varied, table.Quantity{Key: fmt.Sprintf("recovery.quantity_%d", i), Unit: "m"})
			row.X = append(row.X, -0.123456)
			l.Limits = append(l.Limits, table.Quantity{Key: fmt.Sprintf("opening_acceleration_%d", i), Unit: "m/s2"})
			row.Slacks = append(row.Slacks, table.Of(0, true))
			row.Binding = append(row.Binding, l.Limits[i].Key)
		}
		got := text.Front(l, []output.Row{row, row}, 1)
		for line := range strings.Lines(got) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 100 {
				t.Errorf("%d quantities: %d columns, want ≤ 100: %s", quantities, n, line)
			}
		}
		shown := strings.Count(got, "-123")
		if more := fmt.Sprintf("and %d more quantities in front.parquet\n", quantities-shown); strings.Contains(got, more) != (shown < quantities) {
			t.Errorf("%d quantities, %d shown:\n%s", quantities, shown, got)
		}
		if quantities > 0 && shown == 0 {
			t.Errorf("%d quantities, none shown:\n%s", quantities, got)
		}
	}
}

// Three figures, in the units of a workshop.
func TestShownNumbers(t *testing.T) {
	for _, row := range []struct {
		key, unit string
		v         float64
		want      string
	}{
		{"apogee", "m", 1234.5, "1230 ± 99 m (uncalibrated, 8 %)"},
		{"apogee", "m", 9.996, "10.0 ± 0.8 m (uncalibrated, 8 %)"},
		{"drift", "m", -0.05126, "-0.0513 m"},
		{"dry_margin", "cal", 0, "0 cal"},
		{"dry_margin", "cal", 3.14e-17, "3.14e-17 cal"},
		{"line_factor", "1", 123456, "123000"},
		{"line_factor", "1", 1.2345e9, "1.23e+09"},
		{"chamber.pressure", "Pa", 15e5, "15.0 bar"},
		{"chamber.bore", "m", 0.087, "87.0 mm"},
		{"site.elevation", "m", 140, "140 m"},
		{"site.temperature", "K", 290.15, "17.0 degC"},
		{"volume", "m3", 0.0045, "4.50 l"},
		{"acceleration", "m/s2", 20 * 9.80665, "20.0 gn"},
		{"fins.density", "kg/m3", 1600, "1.60 g/cm3"},
	} {
		l := output.Layout{Figures: []table.Quantity{{Key: row.key, Unit: row.unit}}}
		got := text.Fly(l, output.Row{Outcome: model.Landed, Figures: []table.Value{table.Of(row.v, true)}})
		wantText(t, fmt.Sprintf("Fly of %s %v %s", row.key, row.v, row.unit), got,
			fmt.Sprintf("landed\n\nfigures\n  %s  %s\n", row.key, row.want))
	}
}

// A brief that was fitted to a flight is to be trusted more.
func TestFittedApogee(t *testing.T) {
	l := output.Layout{Figures: []table.Quantity{{Key: "apogee", Unit: "m"}}, Fitted: true}
	row := output.Row{Outcome: model.Landed, Figures: []table.Value{table.Of(136.6, true)}}
	if got, want := text.Fly(l, row), "137 ± 3 m (fitted, 2 %)"; !strings.Contains(got, want) {
		t.Errorf("Fly of a fitted brief = %q, want %q in it", got, want)
	}
}
