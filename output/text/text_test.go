package text_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/text"
)

func wantText(t *testing.T, name, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s =\n%s\nwant\n%s", name, got, want)
	}
}

// there drops the lines of figures that a flight does not have, but for one.
func there(fly string) string {
	lines := strings.SplitAfter(fly, "\n")
	return strings.Join(slices.DeleteFunc(lines, func(l string) bool {
		return strings.HasSuffix(l, " -\n") && !strings.Contains(l, "deploy_speed")
	}), "")
}

func TestFly(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	wantText(t, "Fly", there(text.Fly(b, &rows[0], sample.Doubts())), `landed

design
  chamber.throat  11.0 mm
  payload.mass    80.0 g
  site.tilt       2.00 deg

figures
  apogee                 142 m
  margin                1.32 cal
  peak_incidence        4.00 deg
  deploy_speed          9.87 m/s

how far they may be off, 5 to 95 % of flights over what is not known of the rocket
  apogee 142 m as modelled; 120 to 151 before any measured flight, most of it for air drawn into the
  last water
  drift -20.0 m as modelled; -25.5 to -15.0 before any measured flight, most of it for the canopy's
  drag
  landing speed 5.00 m/s as modelled; 4.40 to 5.60 before any measured flight
  acceleration 20.0 gn as modelled; 18.0 to 21.0 before any measured flight, most of it for the
  gauge

limits: distance to each, positive inside
  margin             +0.320 cal
  peak_incidence      +1.00 deg
  chamber.pressure  +0.0100 bar binding
  proof_ratio        +0.500 (default)
NOT JUDGED: dry_margin, deploy_speed, landing_speed
`)
	wantText(t, "Fly", there(text.Fly(b, &rows[1], nil)), `landed

design
  chamber.throat  8.50 mm
  payload.mass     240 g
  site.tilt          0 deg

figures
  apogee                 98.4 m
  margin                0.900 cal
  deploy_speed              -

limits: distance to each, positive inside
  margin            -0.100 cal missed
  peak_incidence         - missed: the flight does not have it
  chamber.pressure   +2.00 bar
  proof_ratio       +0.500 (default)
NOT JUDGED: dry_margin, deploy_speed, landing_speed

caution: Mach above 0.8: drag and fin lift are outside the model
caution: fill outside 5 to 80 %: the water phase is outside the model
`)
}

// A flight that was not computed has no figures to show.
func TestFlyOfAFailure(t *testing.T) {
	b := sample.Brief("", "chamber.throat=9 mm", "payload.mass=80 g", "site.tilt=2 deg")
	wantText(t, "Fly", text.Fly(b, &study.Row{Outcome: model.NoLiftOff}, nil), "no_lift_off\n")
}

func TestFront(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	wantText(t, "Front", text.Front(b, rows, 10), `
                payload  chamber  site
design  apogee     mass   throat  tilt  limits
             m        g       mm   deg
     1     142     80.0     11.0  2.00  chamber.pressure
     2    98.4      240     8.50     0  misses margin, peak_incidence
design 1 is the knee, the best compromise of all goals
NOT JUDGED: dry_margin, deploy_speed, landing_speed
`[1:])
	rows[0].Slacks[3], rows[1].Slacks[3] = 0, -0.5 // of the proof ratio, a default limit
	wantText(t, "Front", text.Front(b, rows, 10), `
                payload  chamber  site
design  apogee     mass   throat  tilt  limits
             m        g       mm   deg
     1     142     80.0     11.0  2.00  chamber.pressure, proof_ratio*
     2    98.4      240     8.50     0  misses margin, peak_incidence, proof_ratio*
design 1 is the knee, the best compromise of all goals
* a default limit: the brief does not write it
NOT JUDGED: dry_margin, deploy_speed, landing_speed
`[1:])
	of := *b
	of.Class, of.Limits = brief.Class{Title: "Six bar\x1b[2J"}, slices.Clone(b.Limits)
	of.Limits[2].Class = true // of the pressure
	for _, line := range []string{"     1     142     80.0     11.0  2.00  chamber.pressure†, proof_ratio*\n", "\n† a limit of the class: Six bar\n"} {
		if got := text.Front(&of, rows, 10); !strings.Contains(strings.ReplaceAll(got, "Six bar�[2J", "Six bar"), line) {
			t.Errorf("Front of a class has no line %q:\n%s", line, got)
		}
	}
	if got := text.CountLimits(b); got != "4 limits, 1 of them default" {
		t.Errorf("CountLimits = %q", got)
	}
	rows = sample.Rows()
	many := make([]study.Row, 100)
	for i := range many {
		many[i] = rows[0]
		many[i].Design = i + 1
	}
	got := text.Front(b, many, 12)
	if lines := strings.Split(got, "\n"); len(lines) != 3+12+4+1 ||
		lines[15] != "and 88 more in front.parquet" || lines[17] != "at its limit in every design: chamber.pressure" {
		t.Errorf("Front of 100 rows, 12 shown =\n%s", got)
	}
	wantText(t, "Front of nothing", text.Front(&brief.Brief{Rocket: model.Rocket{Recovery: model.Recovery{Canopy: 1}}}, nil, 5), "design  limits\n")
}

// Whatever is varied and however many limits bind, a line fits the terminal.
func TestFrontFits(t *testing.T) {
	all := brief.Quantities()
	for quantities := range 20 {
		var b brief.Brief
		row := study.Row{Design: 100, Outcome: model.Landed, Figures: sample.Figures(nil)}
		for i := range quantities {
			m, _ := brief.MetricByKey(all[i].Key)
			b.Vary = append(b.Vary, brief.Vary{Quantity: m.Quantity})
			row.X = append(row.X, -0.123456)
			b.Limits = append(b.Limits, brief.Limit{Metric: m, Limit: constraints.Limit{AtLeast: 0, AtMost: math.Inf(1)}})
			row.Slacks = append(row.Slacks, 0)
		}
		got := text.Front(&b, []study.Row{row, row}, 1)
		for line := range strings.Lines(got) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 100 {
				t.Errorf("%d quantities: %d columns, want ≤ 100: %s", quantities, n, line)
			}
		}
		left := 0
		if _, rest, found := strings.Cut(got, "\nand "); found && strings.Contains(rest, "more quantities") {
			fmt.Sscanf(rest, "%d", &left)
		}
		columns := len(strings.Fields(strings.Split(got, "\n")[0]))
		if shown := quantities - left; quantities > 0 && shown == 0 || columns < shown {
			t.Errorf("%d quantities, %d columns and %d left:\n%s", quantities, columns, left, got)
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
		{"drift", "m", -0.05126, "-0.0513 m"},
		{"dry_margin", "cal", 0, "0 cal"},
		{"dry_margin", "cal", 3.14e-17, "3.14e-17 cal"},
		{"line_factor", "1", 123456, "123000 "},
		{"line_factor", "1", 1.2345e9, "1.23e+09 "},
		{"chamber.pressure", "Pa", 15e5, "15.0 bar"},
		{"dry_mass", "kg", 1.142, "1142 g"}, // as the scale said it
		{"fins.fillets", "kg", 0.0095, "9.50 g"},
		{"chamber.bore", "m", 0.087, "87.0 mm"},
		{"fins.count", "1", 3, "3 "},
		{"site.elevation", "m", 140, "140 m"},
		{"site.temperature", "K", 290.15, "17.0 degC"},
		{"volume", "m3", 0.0045, "4.50 l"},
		{"acceleration", "m/s2", 20 * 9.80665, "20.0 gn"},
		{"fins.density", "kg/m3", 1600, "1.60 g/cm3"},
		{"apogee", "m", math.NaN(), "- m"},
	} {
		s := text.Show(row.key, row.unit)
		wantText(t, fmt.Sprintf("Show of %s %v %s", row.key, row.v, row.unit), s.Value(row.v)+" "+s.Unit, row.want)
	}
}
