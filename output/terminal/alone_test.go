package terminal_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/internal/sample"
	"ullage/output/table"
	"ullage/output/terminal"
)

// The knee is named where there is a choice, the first design is the first of the
// front, and it keeps its limits: each of these alone decides.
func TestKneeIsNamed(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	second, misses := rows[0], rows[1]
	second.Design, misses.Design = 2, 1
	for _, row := range []struct {
		why  string
		rows []study.Row
		want bool
	}{
		{"a choice", rows, true},
		{"no choice", rows[:1], false},
		{"another design first", []study.Row{second, rows[1]}, false},
		{"one that misses limits", []study.Row{misses, rows[0]}, false},
	} {
		if got := strings.Contains(terminal.Front(b, row.rows, 5), "is the knee"); got != row.want {
			t.Errorf("%s: the knee is named %v, want %v", row.why, got, row.want)
		}
	}
}

// Limits are counted by whose they are, and nobody's are not told.
func TestCountLimits(t *testing.T) {
	b := sample.Brief("")
	b.Limits = slices.Clone(b.Limits)
	for _, row := range []struct {
		defaults, class int
		want            string
	}{{0, 0, "4 limits"}, {1, 0, "4 limits, 1 of them default"}, {0, 2, "4 limits, 2 of the class"}, {2, 1, "4 limits, 2 of them default, 1 of the class"}} {
		for i := range b.Limits {
			b.Limits[i].Default, b.Limits[i].Class = i < row.defaults, i >= 4-row.class
		}
		if got := terminal.CountLimits(b); got != row.want {
			t.Errorf("CountLimits = %q, want %q", got, row.want)
		}
	}
}

// The best of a run is that of the designs that keep its limits, wherever it stands.
func TestBestOfARun(t *testing.T) {
	b := sample.Brief("")
	rows := make([]study.Row, 4)
	for i, apogee := range []float64{120, 142, 131, 999} {
		rows[i] = sample.Rows()[0]
		rows[i].Figures = sample.Figures(map[model.Figure]float64{model.Apogee: apogee})
	}
	rows[3].Slacks = []float64{-1, 1, 1, 1}
	for range len(rows) {
		rows = append(rows[1:], rows[0])
		got := terminal.Compare(output.Compare([]output.Compared{{Name: "r", Brief: b, Rows: rows}}))
		if line := strings.Split(got, "\n")[3]; strings.Join(strings.Fields(line), " ") != "r 4 142 80.0" {
			t.Errorf("the best of 120, 142 and 131, and of 999 that misses a limit: %q", line)
		}
	}
}

// A flight of a brief that varies and limits nothing says nothing of either, and
// without cautions ends with its figures.
func TestFlightOfAPlainBrief(t *testing.T) {
	b, row := sample.Brief(""), sample.Rows()[0]
	b.Vary, b.Limits, b.NotJudged = nil, nil, nil
	row.X, row.Slacks = nil, nil
	got := terminal.Fly(b, &row, nil)
	if strings.Contains(got, "design") || strings.Contains(got, "limits") || strings.Contains(got, "how far") || strings.HasSuffix(got, "\n\n") {
		t.Errorf("a plain flight:\n%s", got)
	}
	row.Outcome, row.Warnings = model.NoLiftOff, model.MachHigh
	if got := terminal.Fly(b, &row, nil); !strings.HasPrefix(got, "no_lift_off\n\ncaution: ") || strings.Contains(got, "figures") {
		t.Errorf("a flight that does not land:\n%s", got)
	}
}

// An index that rounds to nothing has no sign, one that does not keeps it; the
// interval is told by half its width.
func TestIndexSigns(t *testing.T) {
	for v, want := range map[float64]string{0.0004: "0.000 ± 0.250", -0.0004: "0.000 ± 0.250", -0.0006: "-0.001 ± 0.250", 0.2506: "0.251 ± 0.250"} {
		of := output.Estimate{Value: table.Number(v), Low: table.Number(v - 0.25), High: table.Number(v + 0.25)}
		got := terminal.Indices([]output.IndexRow{{Number: "apogee", Quantity: "fins.span", First: of, Total: of, Rows: 3}})
		if strings.Count(got, "  "+want) != 2 {
			t.Errorf("%v: no %q twice in\n%s", v, want, got)
		}
	}
	// The quantity with the largest part stands first, numbers one after the other.
	one := func(number, quantity string, v float64) output.IndexRow {
		e := output.Estimate{Value: table.Number(v), Low: table.Number(v), High: table.Number(v)}
		return output.IndexRow{Number: number, Quantity: quantity, First: e, Total: e, Rows: 3}
	}
	lines := strings.Split(terminal.Indices([]output.IndexRow{one("a", "x", 0.1), one("a", "y", 0.7), one("b", "x", math.NaN()), one("c", "x", 0.5)}), "\n")
	var first []string
	for _, line := range lines {
		if fields := strings.Fields(line); len(fields) > 0 {
			first = append(first, strings.TrimSuffix(fields[0], ","))
		}
	}
	if got := strings.Join(first[:9], " "); got != "a quantity y x b does c quantity x" {
		t.Errorf("lines begin %s", got)
	}
}
