package text_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/text"
)

// Bounds hold as they are read: one never to be exceeded is cut down, one to be
// reached is cut up, and a number that is whole but for rounding stays.
func TestBoundsAreReadSafely(t *testing.T) {
	for _, row := range []struct {
		v               float64
		n               int
		atMost, atLeast string
	}{
		{1.234, 2, "1.23", "1.24"},
		{1.239, 2, "1.23", "1.24"},
		{-0.015, 2, "-0.02", "-0.01"},
		{7, 0, "7", "7"},
		{7.01, 0, "7", "8"},
		{1.15, 2, "1.15", "1.15"},      // 1.15·100 is a little less than 115
		{1.1 * 1.1, 2, "1.21", "1.21"}, // a little more than 1.21
		{1.2300001, 2, "1.23", "1.24"}, // more than rounding
		{1.2299999, 2, "1.22", "1.23"},
	} {
		if got := text.AtMost(row.v, row.n); got != row.atMost {
			t.Errorf("AtMost(%v, %d) = %s, want %s", row.v, row.n, got, row.atMost)
		}
		if got := text.AtLeast(row.v, row.n); got != row.atLeast {
			t.Errorf("AtLeast(%v, %d) = %s, want %s", row.v, row.n, got, row.atLeast)
		}
	}
	// Gauges show a hundredth of a bar below ten, a tenth from there.
	for _, row := range []struct {
		pa              float64
		atMost, atLeast string
	}{{6.118e5, "6.11", "6.12"}, {9.996e5, "9.99", "10.00"}, {10e5, "10.0", "10.0"}, {10.96e5, "10.9", "11.0"}, {22.5e5, "22.5", "22.5"}} {
		if got := text.BarsAtMost(row.pa); got != row.atMost {
			t.Errorf("BarsAtMost(%v) = %s, want %s", row.pa, got, row.atMost)
		}
		if got := text.BarsAtLeast(row.pa); got != row.atLeast {
			t.Errorf("BarsAtLeast(%v) = %s, want %s", row.pa, got, row.atLeast)
		}
	}
}

// Three significant figures, and an exponent only where zeros would hide them.
func TestThree(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 9.9949: "9.99", 9.995001: "10.0", 0.000123456: "0.000123", 0.0000999: "9.99e-05", 9.99e6: "9990000", 1e7: "1.00e+07",
		-1234: "-1230", 1.5: "1.50",
	} {
		if got := text.Three(v); got != want {
			t.Errorf("Three(%v) = %q, want %q", v, got, want)
		}
	}
	show := text.Show("drift", "m")
	for v, want := range map[float64]string{0: "0", 1.25: "+1.25", -1.25: "-1.25"} {
		if got := show.Difference(v); got != want {
			t.Errorf("Difference(%v) = %q, want %q", v, got, want)
		}
	}
}

// Prose is folded at spaces, as late as it fits.
func TestWrap(t *testing.T) {
	for _, row := range []struct {
		text        string
		width       int
		first, rest string
	}{
		{"abc def", 7, "abc def", ""},
		{"abc def", 6, "abc", "def"},
		{"abc def ghi", 7, "abc def", "ghi"},
		{"abc def ghi", 8, "abc def", "ghi"},
		{"abcdefgh ij", 4, "abcdefgh ij", ""},
		{" abcdefgh", 4, " abcdefgh", ""},
		{"äöü äöü", 4, "äöü", "äöü"},
	} {
		if first, rest := text.Wrap(row.text, row.width); first != row.first || rest != row.rest {
			t.Errorf("Wrap(%q, %d) = %q, %q, want %q, %q", row.text, row.width, first, rest, row.first, row.rest)
		}
	}
}

// Everyone who pressurises a rocket reads its energy, the least test pressure,
// and where the brief keeps less distance to it than is customary.
func TestCautions(t *testing.T) {
	all := strings.Join(text.Cautions(1234, 6.118e5, 12.34e5), "\n")
	for _, want := range []string{"At 6.12 bar the compressed air holds 1230 J.", "at least 1.5 times launch pressure: 9.2 bar here. The proof pressure given is 12.3 bar"} {
		if !strings.Contains(all, want) {
			t.Errorf("cautions without %q:\n%s", want, all)
		}
	}
	b := sample.Brief("")
	for _, row := range []struct {
		proof, least float64
		want         string
	}{
		{9.0e5, 1.5, ""}, // 1.5 times 6 bar
		{9.1e5, 1.5, ""},
		{8.99e5, 1.5, "The proof pressure is below 1.5 times launch pressure"},
		{12e5, 1.3, "This brief lowers the limit proof_ratio to 1.3."},
		{8.99e5, 1.3, "This brief lowers the limit proof_ratio to 1.3."},
		{12e5, 1.7, ""},
	} {
		b.Rocket.Chamber.Proof, b.Limits[3].AtLeast = row.proof, row.least
		got := text.ProofCautions(b)
		if (len(got) == 0) != (row.want == "") || len(got) > 0 && !strings.HasPrefix(got[0], row.want) {
			t.Errorf("proof at %v Pa, limit %v: %q, want %q", row.proof, row.least, got, row.want)
		}
	}
}

// A limit that is just kept is at its bound, not missed.
func TestJustKept(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	rows[0].Slacks[0], rows[0].Slacks[3] = 0, -1e-6
	var margin, ratio string
	for line := range strings.Lines(text.Fly(b, &rows[0], nil)) {
		switch name, _, _ := strings.Cut(strings.TrimSpace(line), " "); name {
		case "margin":
			margin = line
		case "proof_ratio":
			ratio = line
		}
	}
	if strings.Contains(margin, "missed") || !strings.Contains(margin, "binding") || !strings.Contains(ratio, "missed") {
		t.Errorf("limits read %q and %q, want the first binding and the second missed", margin, ratio)
	}
}

// A robust front shows goals as they are summed up over the flights, a quantity
// as set, and the limits that some flights miss, the least kept first.
func TestRobustFront(t *testing.T) {
	b := sample.Brief("[scatter]\n\"site.wind\" = \"1 m/s\"\n[search]\nflights = 9000\n[search.robust]\ndraws = 60\nconfidence = 0.8\n")
	rows := sample.Rows()
	chances := func(met ...int) *study.Proof {
		p := &study.Proof{Design: optimize.Design{Result: optimize.Result{Goals: []float64{-131, -0.5}}}, Held: true}
		for _, n := range met {
			p.Chances = append(p.Chances, constraints.Chance{Met: n, Flights: 60})
		}
		return p
	}
	rows[0].Proof, rows[1].Proof = chances(60, 58, 60, 59), chances(60, 60, 10, 60)
	got := strings.Split(text.Front(b, rows, 10), "\n")
	first, second := strings.Join(strings.Fields(got[3]), " "), strings.Join(strings.Fields(got[4]), " ")
	if first != "1 131 80.0 11.0 2.00 peak_incidence, proof_ratio*" || !strings.HasPrefix(second, "2 131 240 8.50 0 misses chamber.pressure") {
		t.Errorf("robust front:\n%s", strings.Join(got, "\n"))
	}
	// Of the chamber pressure, at most, 10 flights of 60 keep it as it is.
	rows[1].Proof.Shown = []float64{0.1, 0.1, -1.2341e5, 0.1}
	near := strings.Join(text.HowNearLines(b, rows[1:]), "\n")
	bound := b.Limits[2].AtMost/1e5 + 1.2341
	if want := fmt.Sprintf("kept in 16.6 %% of the flights; at most %s bar is proved for 80.0 %% of them", text.AtLeast(bound, 2)); !strings.Contains(near, want) {
		t.Errorf("how near: %s\nwant %s", near, want)
	}
	values := text.GoalValues(b, 0, rows)
	rows[1].Proof = nil
	if without := text.GoalValues(b, 0, rows); values[1] != 131 || !math.IsNaN(without[1]) {
		t.Errorf("apogee of a row with a proof %v, without %v, want 131 and none", values[1], without[1])
	}
	if id := rows[0].Figures[model.Apogee]; values[0] == id {
		t.Errorf("apogee %v as set, want it summed up", id)
	}
}
