package pad

import (
	"context"
	"math"
	"slices"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// keepsSafety reports whether a flight keeps every limit of safety.
func keepsSafety(b *brief.Brief, judge *study.Judge, r *model.Rocket, s *model.Site, f *model.Flight) bool {
	missed := judge.Missed(r, s, f)
	return f.Outcome == model.Landed && !slices.ContainsFunc(b.Limits, func(l brief.Limit) bool {
		return l.Safety() && slices.Contains(missed, l.Metric.Key)
	})
}

// TestEvening flies cells of the grid again at their corners, with what the
// rocket weighs more as a part at its nose and at its tail, which the grid does by
// another way; and in their middles under scatter.
func TestEvening(t *testing.T) {
	b := briefs.Demo(t, "lighter-or-stable.toml")
	e, ok := EveningOf(t.Context(), b, b.Own(), 2)
	r, s := b.At(b.Own())
	if !ok || len(e.Winds) != 12 || len(e.Weights) != 8 || len(e.Pressures) != 8 || len(e.Cells) != 11*7*7 {
		t.Fatalf("%v, lines %v, %v, %v", ok, e.Winds, e.Weights, e.Pressures)
	}
	for _, lines := range [][]float64{e.Winds, e.Weights, e.Pressures} {
		if !slices.IsSorted(lines) {
			t.Errorf("lines %v do not ascend", lines)
		}
	}
	if top := e.Pressures[7]; top != r.Chamber.Pressure {
		t.Errorf("pressures up to %v Pa, want the planned %v Pa", top, r.Chamber.Pressure)
	}
	st, _ := model.Weigh(&r, &s)
	inHand := math.Abs(s.Wind) * HandShare(&s)
	planned := slices.IndexFunc(e.Weights, func(w float64) bool { return w > st.DryMass }) - 1
	if planned < 1 || planned > 5 || e.Winds[11] < 2*inHand {
		t.Errorf("weights %v about %v kg, wind to %v m/s for %v planned", e.Weights, st.DryMass, e.Winds[11], inHand)
	}
	caller := study.NewCaller(b)
	words, flown := map[study.Word]int{}, 0
	for i := range e.Cells {
		c := &e.Cells[i]
		words[c.Word]++
		if c.Word == study.NoGo {
			continue
		}
		if flown++; flown%5 != 0 {
			continue
		}
		wind, weight, pressure := i%11, i/11%7, i/77
		lowest, highest := atCorners(t, b, &e, i)
		// As a part the weight also turns the rocket, and its inertia is its own.
		if math.Abs(c.Height[0]-lowest) > 0.01*lowest || math.Abs(c.Height[1]-highest) > 0.01*highest {
			t.Errorf("cell %d: heights %v, want %v to %v m", i, c.Height, lowest, highest)
		}
		rocket, site := study.OnScale(&r, &st), s
		site.Wind = (e.Winds[wind] + e.Winds[wind+1]) / 2 / inHand * s.Wind
		rocket.Chamber.Pressure = (e.Pressures[pressure] + e.Pressures[pressure+1]) / 2
		rocket.Weighed.Mass = (e.Weights[weight] + e.Weights[weight+1]) / 2
		rocket.Weighed.Balance = (st.DryMass*st.DryCG + (rocket.Weighed.Mass-st.DryMass)*r.Body.Length) / rocket.Weighed.Mass
		rocket.Chamber.Fill, rocket.Recovery.Delay = c.Fill, c.Delay
		if word := caller.WordOf(&rocket, &site); word > c.Word {
			t.Errorf("cell %d is %v, in its middle with the weight at the tail %v", i, c.Word, word)
		}
	}
	if words[study.Go] == 0 || words[study.Tight] == 0 || words[study.NoGo] == 0 {
		t.Errorf("words %v, want some of each", words)
	}
}

// atCorners flies cell i at its corners, which must keep what the cell says, and returns
// the lowest apogee and the highest, in m.
func atCorners(t *testing.T, b *brief.Brief, e *Evening, i int) (lowest, highest float64) {
	t.Helper()
	r, s := b.At(b.Own())
	st, _ := model.Weigh(&r, &s)
	inHand := math.Abs(s.Wind) * HandShare(&s)
	judge, scratch := study.NewJudge(b), model.NewScratch()
	c := &e.Cells[i]
	wind, weight, pressure := i%11, i/11%7, i/77
	lowest, highest = math.Inf(1), math.Inf(-1)
	for corner := range 16 {
		rocket, site := r, s
		site.Wind = e.Winds[wind+corner&1] / inHand * s.Wind
		rocket.Chamber.Pressure = e.Pressures[pressure+corner>>1&1]
		station := float64(corner>>3) * rocket.Body.Length
		rocket.Parts = append(slices.Clone(r.Parts), model.Part{Mass: e.Weights[weight+corner>>2&1] - st.DryMass, Station: station})
		rocket.Chamber.Fill, rocket.Recovery.Delay = c.Fill, c.Delay
		f := model.Fly(&rocket, &site, scratch)
		if !keepsSafety(b, judge, &rocket, &site, &f) {
			t.Fatalf("cell %d is %v, but at corner %d it misses %v", i, c.Word, corner, judge.Missed(&rocket, &site, &f))
		}
		apogee, _ := f.Figure(model.Apogee)
		lowest, highest = min(lowest, apogee), max(highest, apogee)
		drift, _ := f.Figure(model.Drift)
		if math.Abs(drift) > c.Drift || c.BareDrift < c.Drift {
			t.Errorf("cell %d: %v m from the pad, %v without canopy; at corner %d it is %v m", i, c.Drift, c.BareDrift, corner, drift)
		}
	}
	return lowest, highest
}

// A grid that is interrupted is none.
func TestEveningInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	b := briefs.Demo(t, "bottle.toml")
	if _, ok := EveningOf(ctx, b, b.Own(), 2); ok {
		t.Error("a grid of an interrupted evening")
	}
}

// The planned wind lies in the lower half of the grid, whose cells are as narrow
// as that allows: 0.5, 1 or 2 m/s.
func TestGridStep(t *testing.T) {
	for planned, want := range map[float64]float64{0: 0.5, 2.75: 0.5, -2.75: 0.5, 2.76: 1, 5.5: 1, 5.51: 2, -5.51: 2, 15: 2} {
		site := model.Site{Wind: planned} // without a profile: the same in the hand
		if got := gridStep(&site); got != want {
			t.Errorf("%v m/s planned: cells of %v m/s, want %v", planned, got, want)
		}
	}
	// By the power law, from 10 m to 1.5 m: (0.15)^0.143 = 0.762.
	if got := HandShare(&model.Site{WindExponent: 0.143}); math.Abs(got-0.7624) > 1e-4 {
		t.Errorf("%v of the wind in the hand, want 0.762", got)
	}
}

// What a corner of a cell says: a limit of safety that is missed, or has no
// number, is no go; the one that leaves least room decides, the first of equals;
// a wish decides nothing.
func TestCornersOfACell(t *testing.T) {
	b := briefs.Demo(t, "lighter-or-stable.toml")
	r, s := b.At(b.Own())
	st, _ := model.Weigh(&r, &s)
	n := newNight(b, &r, &s, &st)
	f := model.Fly(&r, &s, n.scratch)
	roomy := func() []float64 { // each limit with as much room: its own size
		slacks := make([]float64, len(b.Limits))
		for k := range slacks {
			slacks[k] = 1 / b.Limits[k].Scaled(1)
		}
		return slacks
	}
	safety, wishes := 0, 0
	first := b.Limits[slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Safety() })].Metric.Key
	for k := range b.Limits {
		l := &b.Limits[k]
		for _, row := range []struct {
			slack float64 // in sizes of the limit
			word  study.Word
		}{{0.9, study.Go}, {0, study.Go}, {-0.1, study.NoGo}, {math.NaN(), study.NoGo}} {
			slacks := roomy()
			slacks[k] *= row.slack
			if math.IsNaN(row.slack) {
				slacks[k] = row.slack
			}
			c, least := Cell{Word: study.Go, Height: [2]float64{math.Inf(1), math.Inf(-1)}}, math.Inf(1)
			n.corner(&c, &f, &constraints.Verdict{Slacks: slacks}, &least)
			word, key := row.word, l.Metric.Key
			if !l.Safety() {
				word, key = study.Go, first
			}
			if c.Word != word || c.Deciding != key {
				t.Errorf("%s with a room of %v: %v for %s, want %v for %s", l.Metric.Key, row.slack, c.Word, c.Deciding, word, key)
			}
		}
		if l.Safety() {
			safety++
		} else {
			wishes++
		}
	}
	if safety < 2 || wishes == 0 {
		t.Fatalf("%d limits of safety, %d wishes: want both", safety, wishes)
	}
	f.Outcome = model.NoLiftOff
	c, least := Cell{Word: study.Go}, math.Inf(1)
	if n.corner(&c, &f, &constraints.Verdict{Slacks: roomy()}, &least); c.Word != study.NoGo || c.Deciding != "" || c.Landing != 0 {
		t.Errorf("a corner that does not land: %+v, want no go and nothing else", c)
	}
}

// The middle of a cell is no go where it is called so, where it does not keep to
// the field and where it comes too high, each alone; TIGHT stays TIGHT.
func TestMiddleOfACell(t *testing.T) {
	for _, row := range []struct {
		brief string
		set   []string
		word  study.Word
	}{
		{"lighter-or-stable.toml", nil, study.Go},
		{"lighter-or-stable.toml", []string{"recovery.delay=4.6 s"}, study.Tight},
		{"lighter-or-stable.toml", []string{"recovery.delay=4.9 s"}, study.NoGo},
		{"lighter-or-stable.toml", []string{"site.field_upwind=20 m"}, study.NoGo},
		{"lighter-or-stable.toml", []string{"site.ceiling=40 m"}, study.NoGo},
		{"lighter-or-stable.toml", []string{"site.field_upwind=200 m", "site.field_downwind=200 m", "site.ceiling=200 m"}, study.Go},
	} {
		b := briefs.Demo(t, row.brief, row.set...)
		r, s := b.At(b.Own())
		st, _ := model.Weigh(&r, &s)
		c := Cell{Word: study.Go, Deciding: "margin"}
		deciding := map[bool]string{true: "margin", false: "scatter"}[row.word == study.Go]
		if newNight(b, &r, &s, &st).call(&c, &day{r, s}); c.Word != row.word || c.Deciding != deciding {
			t.Errorf("%v: %v for %s, want %v for %s", row.set, c.Word, c.Deciding, row.word, deciding)
		}
	}
}

// Where a corner comes down is the farthest of both leans, without canopy never
// nearer than with it, and cannot be said of a rocket that may tumble.
func TestFallsOfACell(t *testing.T) {
	for _, row := range []struct {
		set  []string
		said bool
	}{{nil, true}, {[]string{"site.wind=-3 m/s"}, true}, {[]string{"fins.span=40 mm", "ballast.mass=0 g"}, false}} {
		b := briefs.Demo(t, "bottle.toml", row.set...)
		r, s := b.At(b.Own())
		st, _ := model.Weigh(&r, &s)
		n := newNight(b, &r, &s, &st)
		var c Cell
		n.falls(&c, &day{r, s})
		away, bare := 0.0, 0.0
		for _, lean := range []float64{-10, 10} {
			around := s
			around.Tilt += lean * math.Pi / 180
			f, without := model.Fly(&r, &around, n.scratch), model.Bare(&r, &around, n.scratch)
			v, _ := f.Figure(model.Drift)
			w, _ := without.Figure(model.Drift)
			away, bare = max(away, math.Abs(v)), max(bare, math.Abs(v), math.Abs(w))
		}
		if c.Drift != away || row.said && c.BareDrift != bare || math.IsNaN(c.BareDrift) == row.said {
			t.Errorf("%v: %v and %v m, want %v and %v (said %v)", row.set, c.Drift, c.BareDrift, away, bare, row.said)
		}
	}
}
