package study

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/testdata/briefs"

	"ullage/constraints"
	"ullage/model"
)

// summedByHand flies the draws of a report of x, each twice on its day, and returns their
// drifts, in m, half the square of what two of one day differ by, in m², and how many keep
// each limit and all.
func summedByHand(b *brief.Brief, x []float64, draws int) (drift, pairs []float64, met []int, all int) {
	d, scratch := scatter.New(b, scatter.Report, 2*draws, 2, 9), model.NewScratch()
	met = make([]int, len(b.Limits))
	for i := range d.Flights() {
		own, around := b.At(x)
		r, site := own, around
		d.At(i, &own, &around, &r, &site)
		f := model.Fly(&r, &site, scratch)
		v, _ := f.Figure(model.Drift)
		if i%2 == 1 {
			pairs = append(pairs, (v-drift[len(drift)-1])*(v-drift[len(drift)-1])/2)
			continue
		}
		drift = append(drift, v)
		kept := 0
		for k := range b.Limits {
			v, ok := b.Limits[k].Metric.Value(&r, &site, &f)
			if b.Limits[k].Metric.Key == "proof_ratio" {
				v = b.Rocket.Chamber.Proof / b.Rocket.Chamber.Pressure
			}
			if ok && constraints.Kept(b.Limits[k].Slack(v)) {
				met[k]++
				kept++
			}
		}
		if kept == len(b.Limits) {
			all++
		}
	}
	return drift, pairs, met, all
}

// TestScattered counts and sums up by hand what the report says.
func TestScattered(t *testing.T) {
	b := briefs.Scattering(t, briefs.ADay)
	x := []float64{0.17, 0.011, 0.3, 0.08, 5.2}
	const draws = 40
	s := Scatterer(b, draws, 9)(x)
	if again := Scatterer(b, draws, 9)(x); !reflect.DeepEqual(again, s) {
		t.Error("the same seed gives another report")
	}
	drift, pairs, met, all := summedByHand(b, x, draws)
	if want := constraints.Spreads(slices.Clone(drift)); s.Spreads[model.Drift] != want {
		t.Errorf("drift %+v, want %+v", s.Spreads[model.Drift], want)
	}
	each := make([]float64, len(s.Each))
	for i := range s.Each {
		each[i], _ = s.Each[i].Figure(model.Drift)
	}
	if !slices.Equal(each, drift) {
		t.Errorf("drift of each flight %v, want %v", each, drift)
	}
	within, _ := constraints.Moments(pairs)
	if want := math.Sqrt(within); math.Abs(s.Within[model.Drift]-want) > 1e-9*want {
		t.Errorf("within a day %v, want %v", s.Within[model.Drift], want)
	}
	if s.Within[model.Drift] >= s.Spreads[model.Drift].Deviation {
		t.Errorf("within a day %v, in all %v; want less, for the day's wind scatters by twice the flight's", s.Within[model.Drift], s.Spreads[model.Drift].Deviation)
	}
	for k, c := range s.Chances {
		if c != (constraints.Chance{Met: met[k], Flights: draws}) {
			t.Errorf("%s: %+v, want %d of %d", b.Limits[k].Metric.Key, c, met[k], draws)
		}
	}
	if s.All != (constraints.Chance{Met: all, Flights: draws}) {
		t.Errorf("all: %+v, want %d of %d", s.All, all, draws)
	}
	r, site := b.At(x)
	if want := model.Fly(&r, &site, model.NewScratch()); s.Nominal != want {
		t.Errorf("as set %+v, want %+v", s.Nominal, want)
	}
	if s.Spreads[model.TubeTime].Count != 0 || s.Spreads[model.Apogee].Count != draws {
		t.Errorf("%d flights with a launch tube, %d with an apogee; want 0, %d", s.Spreads[model.TubeTime].Count, s.Spreads[model.Apogee].Count, draws)
	}
}
