package benchmarks

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// demo is the brief that everything here is measured on.
func demo(tb testing.TB) *brief.Brief {
	tb.Helper()
	const name = "../testdata/briefs/field-day.toml"
	src, err := os.ReadFile(name)
	if err != nil {
		tb.Fatal(err)
	}
	b, err := brief.Parse(name, src)
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

// A craft is one design, ready to fly.
type craft struct {
	rocket model.Rocket
	site   model.Site
}

// spread returns n designs over the whole range of what the demo varies.
func spread(b *brief.Brief, n int) []craft {
	rng := rand.New(rand.NewPCG(2026, 11))
	crafts := make([]craft, n)
	x := make([]float64, len(b.Vary))
	for i := range crafts {
		for j, v := range b.Vary {
			x[j] = v.From + rng.Float64()*(v.To-v.From)
		}
		crafts[i].rocket, crafts[i].site = b.At(x)
	}
	return crafts
}

// What a flight at the default tolerance may differ by from the same flight at
// 1e-11. Figures other than apogee and margins are held only where the rocket
// was never unstable: one that was may turn over anyhow at the top, and then
// multiplies any error.
const (
	apogeeError = 1e-4  // of the apogee
	marginError = 0.002 // cal
	figureError = 1e-3  // of any other figure, or its floor below
)

// floors are what figures that can be near 0 may err by, SI; as in the tests
// of the model.
var floors = map[model.Figure]float64{
	model.UnstableTime: 1e-3, model.DeployLate: 2e-3, model.ThrustEndLean: 1e-4, model.PeakIncidence: 1e-4,
	model.Drift: 0.05, model.DeploySpeed: 0.01, model.ThrustEndHeight: 0.01, model.DeployHeight: 0.01,
}

// BenchmarkFlights is the speed of the model: flights a second on one core over
// a thousand designs, each held to the stated accuracy.
func BenchmarkFlights(b *testing.B) {
	crafts := spread(demo(b), 1000)
	scratch, exact := model.NewScratch(), model.NewScratch()
	exact.Tolerance = 1e-11
	evaluations, mean, worst := 0, 0.0, 0.0
	for i := range crafts {
		c := &crafts[i]
		got, want := model.Fly(&c.rocket, &c.site, scratch), model.Fly(&c.rocket, &c.site, exact)
		if got.Outcome != want.Outcome {
			b.Fatalf("design %d: %v, want %v", i, got.Outcome, want.Outcome)
		}
		evaluations += got.Evaluations
		unstable, _ := want.Figure(model.UnstableTime)
		for id := range model.Figure(model.FigureCount) {
			g, has := got.Figure(id)
			w, wants := want.Figure(id)
			if has != wants {
				b.Errorf("design %d: has %s: %v, want %v", i, model.Figures[id].Key, has, wants)
				continue
			}
			off, allowed := math.Abs(g-w), max(figureError*math.Abs(w), floors[id])
			switch {
			case id == model.Apogee:
				allowed = apogeeError * w
				mean += off / w / float64(len(crafts))
				worst = max(worst, off/w)
			case model.Figures[id].Unit == "cal":
				allowed = marginError
			case unstable > 0:
				continue
			}
			if off > allowed {
				b.Errorf("design %d: %s = %v, want %v within %v", i, model.Figures[id].Key, g, w, allowed)
			}
		}
	}
	n := 0
	for b.Loop() {
		c := &crafts[n%len(crafts)]
		model.Fly(&c.rocket, &c.site, scratch)
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "flights/s")
	b.ReportMetric(float64(evaluations)/float64(len(crafts)), "evaluations/flight")
	b.ReportMetric(mean, "apogee-error-mean")
	b.ReportMetric(worst, "apogee-error-worst")
	b.ReportAllocs()
}
