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
	text := string(briefs.Read(t, briefs.High))
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
	prices := prices(oneGoal(t, "14 gn"), at.X)
	if len(prices) != 1 || prices[0].Limit.Metric.Key != "acceleration" {
		t.Fatalf("prices %+v, want one of acceleration", prices)
	}
	more, less := highest(t, oneGoal(t, "14.5 gn")), highest(t, oneGoal(t, "13.5 gn"))
	want := (less.Goals[0] - more.Goals[0]) / gn // minimised, over 1 gn
	if got := prices[0].PerUnit; math.Abs(got-want) > 0.1*want {
		t.Errorf("price %.4g m per m/s², want %.4g from searches at 13.5 and 14.5 gn", got, want)
	}
}

// TestPriceAtTheEnd prices a limit of a design at the end of a range, where only
// one side can be flown: giving way buys as much as a search finds.
func TestPriceAtTheEnd(t *testing.T) {
	const gn = 9.80665
	narrow := func(acceleration string) *brief.Brief {
		b := oneGoal(t, acceleration)
		b.Vary[1].From, b.Vary[1].To = 0.12, 0.26 // the best fill lies above
		return b
	}
	at := highest(t, narrow("14 gn"))
	if math.Abs(at.X[1]-0.26) > 1e-6 {
		t.Fatalf("the best fill is %v, want the end of its range", at.X[1])
	}
	prices := prices(narrow("14 gn"), at.X)
	if len(prices) != 1 || prices[0].Limit.Metric.Key != "acceleration" {
		t.Fatalf("prices %+v, want one of acceleration", prices)
	}
	more, less := highest(t, narrow("14.5 gn")), highest(t, narrow("13.5 gn"))
	want := (less.Goals[0] - more.Goals[0]) / gn // minimised, over 1 gn
	if got := prices[0].PerUnit; math.Abs(got-want) > 0.1*want {
		t.Errorf("price %.4g m per m/s², want %.4g from searches at 13.5 and 14.5 gn", got, want)
	}
}

// TestSlopesNearAnEnd flies less than a step to the side on which a range ends:
// what a quantity does is the same, for each unit, wherever its range ends.
func TestSlopesNearAnEnd(t *testing.T) {
	const h = (0.45 - 0.12) / 200
	x := []float64{0.011, 0.25}
	perUnit := func(from, to float64) (goal, slack float64) {
		b := oneGoal(t, "14 gn")
		b.Vary[1].From, b.Vary[1].To, b.Vary[1].Step = from, to, h
		s, ok := newPilot(b).slopes(x)
		if !ok {
			t.Fatal("no slopes")
		}
		return s.goals[0][1] / (to - from), s.slacks[0][1] / (to - from)
	}
	goal, slack := perUnit(0.12, 0.45)
	for _, row := range [][2]float64{{0.12, x[1]}, {0.12, x[1] + 0.3*h}, {0.12, x[1] + 0.9*h}, {x[1], 0.45}, {x[1] - 0.4*h, 0.45}} {
		// 5 %: half a step of curvature.
		if g, s := perUnit(row[0], row[1]); math.Abs(g-goal) > 0.05*math.Abs(goal) || math.Abs(s-slack) > 0.05*math.Abs(slack) {
			t.Errorf("range %v: apogee by %v a unit, slack by %v, want %v and %v", row, g, s, goal, slack)
		}
	}
}

// A quantity stands at an end of its range where it is nearer to it than half a
// step, or half of a two-hundredth where it has none: then only inward is a way.
func TestWhatStandsAtAnEnd(t *testing.T) {
	for _, step := range []float64{0, 0.01} {
		h := max(step, (0.45-0.12)/200)
		for _, row := range []struct {
			fill   float64
			inward float64 // 0: it stands at no end
		}{
			{0.12, 1}, {0.12 + 0.49*h, 1}, {0.12 + 0.51*h, 0}, {0.3, 0}, {0.45 - 0.51*h, 0}, {0.45 - 0.49*h, -1}, {0.45, -1},
		} {
			b := oneGoal(t, "14 gn")
			b.Vary[1].Step = step
			s, ok := newPilot(b).slopes([]float64{0.011, row.fill})
			if !ok {
				t.Fatal("no slopes")
			}
			if row.inward == 0 && len(s.ends) != 0 || row.inward != 0 && (len(s.ends) != 1 || s.ends[0][0] != 0 || s.ends[0][1] != row.inward) {
				t.Errorf("fill of %v by %v: ends %v, want %v", row.fill, step, s.ends, row.inward)
			}
		}
	}
}

// Of more than twelve forces those behind have no part.
func TestMostForces(t *testing.T) {
	columns := make([][]float64, 13)
	pull := make([]float64, 13)
	for i := range columns {
		columns[i] = make([]float64, 13)
		columns[i][i] = -1
		pull[i] = float64(i + 1)
	}
	for i, m := range multipliers(columns, pull) {
		want := float64(i + 1)
		if i == 12 {
			want = 0
		}
		if math.Abs(m-want) > 1e-9 {
			t.Errorf("force %d: %v, want %v", i, m, want)
		}
	}
}

// A band ends where a step more misses a limit or costs over 1 % of the goal,
// and says which; within it every limit is kept.
func TestBands(t *testing.T) {
	b := oneGoal(t, "14 gn")
	x := highest(t, b).X
	bands := bands(b, x)
	if len(bands) != len(b.Vary) {
		t.Fatalf("%d bands, want %d", len(bands), len(b.Vary))
	}
	p := newPilot(b)
	goals, _, _ := p.fly(x)
	least := 0.99 * goals[0]
	stopped := map[string]bool{}
	for i, band := range bands {
		v := &b.Vary[i]
		step := (v.To - v.From) / 200
		if band.From.Value > x[i] || band.To.Value < x[i] {
			t.Errorf("%s: band %v to %v leaves out the design, %v", v.Key, band.From, band.To, x[i])
		}
		for _, end := range []struct {
			End
			step float64
		}{{band.From, -step}, {band.To, step}} {
			stopped[end.By] = true
			y := append([]float64(nil), x...)
			y[i] = end.Value
			if by := p.stops(y, least); by != "" {
				t.Errorf("%s = %v: %s stops it, want nothing within the band", v.Key, end.Value, by)
			}
			y[i] += end.step
			if by := p.stops(y, least); end.By != "" && by != end.By {
				t.Errorf("%s = %v: %q stops it, the band says %s", v.Key, y[i], by, end.By)
			} else if end.By == "" && end.Value != v.From && end.Value != v.To {
				t.Errorf("%s: nothing stops the band at %v", v.Key, end.Value)
			}
		}
	}
	if !stopped["acceleration"] || !stopped["apogee"] {
		t.Errorf("stopped by %v, want acceleration and apogee among them", stopped)
	}
}

// TestFarthest finds the end in few steps, however fine they are.
func TestFarthest(t *testing.T) {
	for _, row := range []struct{ most, end float64 }{{0, 0}, {1, 1}, {5, 0}, {5, 3}, {5, 5}, {1e9, 123456789}, {1e9, 1e9}} {
		calls := 0
		good, why := farthest(row.most, func(k float64) string {
			calls++
			if k > row.end {
				return "limit"
			}
			return ""
		})
		if good != row.end || (why == "") != (row.end == row.most) {
			t.Errorf("up to %v, stopped beyond %v: %v, %q", row.most, row.end, good, why)
		}
		if calls > 64 {
			t.Errorf("up to %v: %d calls, want at most twice the number of bits", row.most, calls)
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
