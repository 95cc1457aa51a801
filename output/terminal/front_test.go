package terminal_test

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
	"ullage/output/terminal"
)

// A robust front shows goals as they are summed up over the flights, a quantity
// as set, and the limits that some flights miss, the least kept first.
func TestRobustFront(t *testing.T) {
	b, rows := sample.Robust()
	got := strings.Split(terminal.Front(b, rows, 10), "\n")
	first, second := strings.Join(strings.Fields(got[3]), " "), strings.Join(strings.Fields(got[4]), " ")
	if first != "1 131 80.0 11.0 2.00 peak_incidence, proof_ratio*" || !strings.HasPrefix(second, "2 131 240 8.50 0 misses chamber.pressure") {
		t.Errorf("robust front:\n%s", strings.Join(got, "\n"))
	}
}

func TestFront(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	wantText(t, "Front", terminal.Front(b, rows, 10), `
                payload  chamber  site
design  apogee     mass   throat  tilt  limits
             m        g       mm   deg
     1     142     80.0     11.0  2.00  chamber.pressure
     2    98.4      240     8.50     0  misses margin, peak_incidence
design 1 is the knee, the best compromise of all goals
NOT JUDGED: dry_margin, deploy_speed, landing_speed
`[1:])
	rows[0].Slacks[3], rows[1].Slacks[3] = 0, -0.5 // of the proof ratio, a default limit
	wantText(t, "Front", terminal.Front(b, rows, 10), `
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
		if got := terminal.Front(&of, rows, 10); !strings.Contains(strings.ReplaceAll(got, "Six bar�[2J", "Six bar"), line) {
			t.Errorf("Front of a class has no line %q:\n%s", line, got)
		}
	}
	if got := terminal.CountLimits(b); got != "4 limits, 1 of them default" {
		t.Errorf("CountLimits = %q", got)
	}
	rows = sample.Rows()
	many := make([]study.Row, 100)
	for i := range many {
		many[i] = rows[0]
		many[i].Design = i + 1
	}
	got := terminal.Front(b, many, 12)
	if lines := strings.Split(got, "\n"); len(lines) != 3+12+4+1 ||
		lines[15] != "and 88 more in front.parquet" || lines[17] != "at its limit in every design: chamber.pressure" {
		t.Errorf("Front of 100 rows, 12 shown =\n%s", got)
	}
	wantText(t, "Front of nothing", terminal.Front(&brief.Brief{Rocket: model.Rocket{Recovery: model.Recovery{Canopy: 1}}}, nil, 5), "design  limits\n")
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
		got := terminal.Front(&b, []study.Row{row, row}, 1)
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

// That limits are missed is said however little room there is for their names.
func TestMissedIsAlwaysSaid(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	for i := range b.Limits {
		b.Limits[i].Metric = brief.FigureMetric(model.OpeningAcceleration)
	}
	counted := false
	for range 8 {
		_, second, _ := strings.Cut(terminal.Front(b, rows, 2), "\n     2 ")
		line, _, _ := strings.Cut(second, "\n")
		if !strings.Contains(line, "  misses opening_acceleration*") && !strings.HasSuffix(line, "  misses 2 limits") {
			t.Errorf("%q does not say what is missed", line)
		}
		counted = counted || strings.HasSuffix(line, "  misses 2 limits")
		b.Vary = append(b.Vary, b.Vary[0])
		for i := range rows {
			rows[i].X = append(rows[i].X, 0.01)
		}
	}
	if !counted {
		t.Error("there was always room, want fewer")
	}
}
