package answers

import (
	"context"
	"math"
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"

	"ullage/optimize"
)

// oneGoal is the demo with height as its only goal, two quantities without
// steps, and a limit on acceleration as given.
func oneGoal(t *testing.T, acceleration string) *brief.Brief {
	t.Helper()
	text := string(briefs.Read(t, "field-day.toml"))
	text = text[:strings.Index(text, "[vary]")] + `[vary]
"chamber.throat" = { from = "6 mm", to = "16 mm" }
"chamber.fill"   = { from = 0.12, to = 0.45 }
[goals]
apogee = "highest"
[limits]
acceleration = { at_most = "` + acceleration + `" }
margin = "none"
dry_margin = "none"
peak_incidence = "none"
landing_speed = "none"
`
	return briefs.Parse(t, []byte(text))
}

func highest(t *testing.T, b *brief.Brief) optimize.Design {
	t.Helper()
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	found, err := optimize.Evolve(context.Background(), p, optimize.Settings{Seed: 1, Flights: 6000}, 2, nil)
	if err != nil || !found.Met {
		t.Fatal(found.Met, err)
	}
	return found.Archive[0]
}

// The price of a limit is what giving way buys: a search with the limit moved
// finds as much more height as the price says, to first order.
func TestPrices(t *testing.T) {
	const gn = 9.80665
	at := highest(t, oneGoal(t, "14 gn"))
	prices := Prices(oneGoal(t, "14 gn"), at.X)
	if len(prices) != 1 || prices[0].Limit.Metric.Key != "acceleration" {
		t.Fatalf("prices %+v, want one of acceleration", prices)
	}
	more, less := highest(t, oneGoal(t, "14.5 gn")), highest(t, oneGoal(t, "13.5 gn"))
	want := (less.Goals[0] - more.Goals[0]) / gn // minimised, over 1 gn
	if got := prices[0].PerUnit; math.Abs(got-want) > 0.1*want {
		t.Errorf("price %.4g m per m/s², want %.4g from searches at 13.5 and 14.5 gn", got, want)
	}
}

// A band ends where a step more costs over 1 % of the goal.
func TestBands(t *testing.T) {
	b := oneGoal(t, "14 gn")
	x := highest(t, b).X
	bands := Bands(b, x)
	if len(bands) != len(b.Vary) {
		t.Fatalf("%d bands, want %d", len(bands), len(b.Vary))
	}
	p := newPilot(b)
	goals, _, _ := p.fly(x)
	for i, band := range bands {
		v := &b.Vary[i]
		step := (v.To - v.From) / 50
		if band.From > x[i] || band.To < x[i] {
			t.Errorf("%s: band %v to %v leaves out the design, %v", v.Key, band.From, band.To, x[i])
		}
		for _, end := range []struct{ at, beyond float64 }{{band.From, band.From - step}, {band.To, band.To + step}} {
			y := append([]float64(nil), x...)
			y[i] = end.at
			if g, _, ok := p.fly(y); !ok || g[0] < 0.99*goals[0] {
				t.Errorf("%s = %v gives %v, want at least 99 %% of %v", v.Key, end.at, g, goals[0])
			}
			y[i] = end.beyond
			g, _, ok := p.fly(y)
			if ok && g[0] >= 0.99*goals[0] && end.beyond >= v.From-step/2 && end.beyond <= v.To+step/2 {
				t.Errorf("%s: the band ends at %v, and %v is as good", v.Key, end.at, end.beyond)
			}
		}
	}
}

func TestMultipliers(t *testing.T) {
	for _, row := range []struct {
		why     string
		columns [][]float64
		pull    []float64
		want    []float64
	}{
		{"one force in the way", [][]float64{{-1, 0}}, []float64{3, 0}, []float64{3}},
		{"two of them", [][]float64{{-1, 0}, {0, -2}}, []float64{3, 4}, []float64{3, 2}},
		{"one that would push the wrong way is left out", [][]float64{{-1, 0}, {0, 1}}, []float64{3, 4}, []float64{3, 0}},
		{"nothing in the way", [][]float64{{1, 0}}, []float64{3, 0}, []float64{0}},
		{"the nearest where they do not balance", [][]float64{{-1, -1}}, []float64{2, 0}, []float64{1}},
		{"no force", nil, []float64{1}, []float64{}},
		{"two that depend on each other", [][]float64{{-1, 0}, {-2, 0}}, []float64{4, 0}, []float64{4, 0}},
	} {
		got := multipliers(row.columns, row.pull)
		for i := range row.want {
			if len(got) != len(row.want) || math.Abs(got[i]-row.want[i]) > 1e-12 {
				t.Errorf("%s: multipliers = %v, want %v", row.why, got, row.want)
				break
			}
		}
	}
}
