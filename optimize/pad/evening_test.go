package pad

import (
	"context"
	"math"
	"slices"
	"testing"

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
