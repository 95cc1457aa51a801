package wording_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/wording"
)

// Of a limit on two sides that bound is named which was missed, and what was reached
// is told as it is: of a figure, of what varies, and of what a brief sets.
func TestReachedOfEitherSide(t *testing.T) {
	inf := math.Inf(1)
	for _, row := range []struct {
		key             string
		value           float64 // SI
		atLeast, atMost float64
		size            bool
		want            string
	}{
		{"apogee", 90, 100, inf, false, "apogee reached 90.0 m, wanted at least 100 m"},
		{"apogee", 90, -inf, 80, false, "apogee reached 90.0 m, wanted at most 80.0 m"},
		{"apogee", 90, 100, 200, false, "apogee reached 90.0 m, wanted at least 100 m"},
		{"apogee", 90, 60, 80, false, "apogee reached 90.0 m, wanted at most 80.0 m"},
		{"drift", -90, -inf, 80, true, "drift reached 90.0 m, wanted at most 80.0 m"},
		{"payload.mass", 0.08, 0.1, 0.2, false, "payload.mass reached 80.0 g, wanted at least 100 g"},
		{"payload.mass", 0.08, 0.01, 0.05, false, "payload.mass reached 80.0 g, wanted at most 50.0 g"},
		{"chamber.pressure", 6e5, 7e5, 8e5, false, "chamber.pressure reached 6.00 bar, wanted at least 7.00 bar"},
		{"chamber.pressure", 6e5, 1e5, 5.5e5, false, "chamber.pressure reached 6.00 bar, wanted at most 5.50 bar"},
		{"drift", math.NaN(), -inf, 80, true, "drift is not there, wanted at most 80.0 m"},
		{"apogee", math.NaN(), 80, inf, false, "apogee is not there, wanted at least 80.0 m"},
	} {
		b, r := sample.Brief(""), sample.Rows()[0]
		m, _ := brief.MetricByKey(row.key)
		l := brief.Limit{Metric: m, Limit: constraints.Limit{AtLeast: row.atLeast, AtMost: row.atMost, Size: row.size}}
		b.Limits, r.Slacks = []brief.Limit{l}, []float64{l.Slack(row.value)}
		if m.Quantity == nil {
			r.Figures = sample.Figures(map[model.Figure]float64{m.Figure: row.value})
		}
		if got := wording.HowNear(b, []study.Row{r})[0]; !strings.HasPrefix(got, "nearest, design 1: "+row.want) {
			t.Errorf("%s %v within %v to %v: %q, want %q", row.key, row.value, row.atLeast, row.atMost, got, row.want)
		}
	}
}

// What would have been proved is never told as more than it was: an upper bound is
// rounded up, a lower one down, also where a unit has another zero.
func TestShownIsNoMoreThanWasProved(t *testing.T) {
	inf := math.Inf(1)
	for _, row := range []struct {
		key                    string
		atLeast, atMost, shown float64
		want                   string
	}{
		{"apogee", -inf, 100, -20.01, "; at most 121 m is proved for 80.0 % of them"},
		{"apogee", -inf, 100, -20, "; at most 120 m is proved"},
		{"apogee", 100, inf, -20.01, "; at least 79.9 m is proved"},
		{"apogee", 100, inf, -20, "; at least 80.0 m is proved"},
		{"apogee", 100, inf, -100, "; at least 0 m is proved"},
		{"apogee", 10, inf, -20.01, "; at least -10.1 m is proved"},
		{"site.temperature", -inf, 293.15, -1.04, "; at most 21.1 degC is proved"},
		{"site.temperature", 293.15, inf, -1.04, "; at least 18.9 degC is proved"},
		{"margin", 1, inf, -0.5004, "; at least 0.499 cal is proved"},
		{"flutter_factor", 1.5, inf, -0.5004, "; at least 0.999 is proved"},
		{"apogee", 100, 200, -20, ""},
		{"apogee", 100, inf, math.NaN(), ""},
	} {
		b, rows := sample.Robust()
		r := rows[0]
		m, _ := brief.MetricByKey(row.key)
		b.Limits = []brief.Limit{{Metric: m, Limit: constraints.Limit{AtLeast: row.atLeast, AtMost: row.atMost}}}
		r.Slacks = []float64{-1}
		r.Proof = &study.Proof{Chances: []constraints.Chance{{Met: 10, Flights: 60}}, Shown: []float64{row.shown}}
		got := wording.HowNear(b, []study.Row{r})[0]
		_, shown, _ := strings.Cut(got, "of the flights")
		if !strings.HasPrefix(shown, row.want) || row.want == "" && strings.Contains(shown, "proved") {
			t.Errorf("%s, %v to %v, shown %v: %q, want %q", row.key, row.atLeast, row.atMost, row.shown, shown, row.want)
		}
	}
}

// Each limit of safety that a brief may have is helped by what its figure hangs on.
func TestEveryLimitOfSafetyIsHelped(t *testing.T) {
	words := map[string][]string{}
	for _, info := range study.Figures() {
		m, ok := brief.MetricByKey(info.Key)
		if !ok {
			continue
		}
		b, r := sample.Brief(""), sample.Rows()[0]
		l := brief.Limit{Metric: m, Limit: constraints.Limit{AtLeast: 1, AtMost: math.Inf(1)}}
		b.Limits, r.Slacks = []brief.Limit{l}, []float64{-1}
		lines := wording.HowNear(b, []study.Row{r})
		if (len(lines) == 2) != l.Safety() {
			t.Errorf("%s: %q, of a limit of safety (%v) want what helps, of another nothing", info.Key, lines, l.Safety())
		}
		if len(lines) == 2 {
			help, ok := strings.CutPrefix(lines[1], "what helps: "+info.Key+": ")
			if !ok {
				t.Errorf("%s: %q", info.Key, lines[1])
			}
			words[help] = append(words[help], info.Key)
		}
	}
	for help, keys := range map[string]string{
		"more fin, ballast in the nose, or less water": "margin", "a larger canopy or less mass": "landing_speed", "a timer nearer to the top": "deploy_speed",
		"thicker or shorter fins, or a lower pressure": "flutter_factor", "a wider throat, less water, less mass or a longer guide": "guide_speed",
	} {
		if !slices.Contains(words[help], keys) {
			t.Errorf("%s is not helped by %s: %v", keys, help, words)
		}
	}
}
