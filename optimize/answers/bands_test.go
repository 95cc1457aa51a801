package answers

import (
	"math"
	"slices"
	"testing"

	"ullage/testdata/briefs"
)

// TestNoBands of a design that misses a limit, or cannot fly.
func TestNoBands(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	if got := bands(b, b.Own()); got != nil {
		t.Errorf("bands of a design that misses limits: %+v", got)
	}
	if got := bands(b, []float64{0.15, 0.012, 0.25, 20, 4.8}); got != nil {
		t.Errorf("bands of a rocket that stays on the pad: %+v", got)
	}
	if got := prices(b, []float64{0.15, 0.012, 0.25, 20, 4.8}); got != nil {
		t.Errorf("prices of a rocket that stays on the pad: %+v", got)
	}
}

// TestBandsBySteps end at a whole number of steps from the design; a quantity
// with choices has none.
func TestBandsBySteps(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml", "ballast.mass=90 g")
	b.Goals = b.Goals[:1]
	x := []float64{}
	for i := range b.Vary {
		x = append(x, b.Vary[i].Value(&b.Rocket, &b.Site))
	}
	bands, p := bands(b, x), newPilot(b)
	goals, _, ok := p.fly(x)
	if !ok || len(bands) == 0 {
		t.Fatalf("%d bands, flown %v", len(bands), ok)
	}
	for i, band := range bands {
		v := &b.Vary[i]
		if v.Step == 0 {
			continue
		}
		for side, end := range map[float64]End{-1: band.From, 1: band.To} {
			steps := (end.Value - x[i]) / v.Step
			if math.Abs(steps-math.Round(steps)) > 1e-6 || steps*side < 0 {
				t.Errorf("%s: its band ends %v steps off", v.Key, steps)
			}
			y := slices.Clone(x)
			if y[i] = end.Value; p.stops(y, goals[0]-0.01*math.Abs(goals[0])) != "" {
				t.Errorf("%s = %v is stopped, the band says not", v.Key, y[i])
			}
			if y[i] += side * v.Step; end.By != "" && p.stops(y, goals[0]-0.01*math.Abs(goals[0])) != end.By {
				t.Errorf("%s = %v is not stopped by %s", v.Key, y[i], end.By)
			}
			if next := end.Value + side*v.Step; end.By == "" && next > v.From-1e-9 && next < v.To+1e-9 {
				t.Errorf("%s: nothing stops the band at %v, within its range", v.Key, end.Value)
			}
		}
	}
}

// TestFinestSteps finds the end of a band of a thousand million steps in some
// dozens of flights: a brief may ask for steps as fine as it likes.
func TestFinestSteps(t *testing.T) {
	for _, last := range []float64{0, 1, 2, 3, 1000, 123_456_789, 1e9} {
		flights := 0
		good, why := farthest(1e9, func(k float64) string {
			if flights++; k > last {
				return "margin"
			}
			return ""
		})
		if want := map[bool]string{true: "", false: "margin"}[last == 1e9]; good != last || why != want || flights > 70 {
			t.Errorf("%v steps of %v, stopped by %q after %d flights, want %q after 70 at most", good, last, why, flights, want)
		}
	}
}
