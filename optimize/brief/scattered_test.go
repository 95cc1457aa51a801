package brief

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/constraints"
	"ullage/model"
)

// TestScattered counts and sums up by hand what the report says.
func TestScattered(t *testing.T) {
	b := scattering(t, aDay)
	x := []float64{0.17, 0.011, 0.3, 0.08, 5.2}
	const draws = 40
	s := b.Scatterer(draws, 9)(x)
	if again := b.Scatterer(draws, 9)(x); !reflect.DeepEqual(again, s) {
		t.Error("the same seed gives another report")
	}
	d, scratch := b.draw(forReport, 2*draws, 2, 9), model.NewScratch()
	var drift, pairs []float64
	met, all := make([]int, len(b.Limits)), 0
	for i := range d.z {
		own, around := b.At(x)
		r, site := own, around
		d.at(i, &own, &around, &r, &site)
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
			if ok && b.Limits[k].room(v) >= 0 {
				met[k]++
				kept++
			}
		}
		if kept == len(b.Limits) {
			all++
		}
	}
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
	if want := model.Fly(&r, &site, scratch); s.Nominal != want {
		t.Errorf("as set %+v, want %+v", s.Nominal, want)
	}
	if s.Spreads[model.TubeTime].Count != 0 || s.Spreads[model.Apogee].Count != draws {
		t.Errorf("%d flights with a launch tube, %d with an apogee; want 0, %d", s.Spreads[model.TubeTime].Count, s.Spreads[model.Apogee].Count, draws)
	}
}

// TestWhatIfs holds each mishap against what it must do.
func TestWhatIfs(t *testing.T) {
	b := scattering(t, "")
	all := b.WhatIfs([]float64{0.17, 0.011, 0.3, 0.08, 5.2}, model.NewScratch())
	figure := func(i int, id model.Figure) float64 {
		v, _ := all[i].Flight.Figure(id)
		return v
	}
	keys := make([]string, len(all))
	for i, w := range all {
		keys[i] = w.Key
	}
	if want := []string{"as_set", "canopy_fails", "canopy_half", "timer_early", "pressure_low", "heavier"}; !slices.Equal(keys, want) {
		t.Fatalf("%v, want %v", keys, want)
	}
	set := figure(0, model.LandingSpeed)
	if v := figure(1, model.LandingSpeed); v < 4*set {
		t.Errorf("no canopy lands at %v m/s, as set %v; want several times that", v, set)
	}
	// Settled descent: half the area, √2 times the speed; the wind's profile and
	// the air's density over the height make up less than 1 %.
	if v := figure(2, model.LandingSpeed); math.Abs(v/set-math.Sqrt2) > 0.01 {
		t.Errorf("half a canopy lands %v times as fast, want √2", v/set)
	}
	opens := func(i int) float64 { return figure(i, model.ApogeeTime) + figure(i, model.DeployLate) }
	if v := opens(3) - opens(0); math.Abs(v+0.5) > 1e-9 {
		t.Errorf("the timer opens %v s later, want −0.5", v)
	}
	for _, i := range []int{4, 5} {
		if low, high := figure(i, model.Apogee), figure(0, model.Apogee); low >= high || low < 0.8*high {
			t.Errorf("%s: apogee %v, as set %v; want somewhat less", all[i].Key, low, high)
		}
	}
	if v := figure(5, model.DryMass) - figure(0, model.DryMass); math.Abs(v-0.05) > 1e-12 {
		t.Errorf("heavier by %v kg, want 0.05", v)
	}
	if !slices.Contains(all[1].Missed, "landing_speed") || slices.Contains(all[0].Missed, "landing_speed") {
		t.Errorf("landing_speed missed: as set %v, without canopy %v", all[0].Missed, all[1].Missed)
	}
	// A bottle at less than a bar has none to lose.
	low := scattering(t, "", "chamber.pressure=0.9 bar")
	if w := low.WhatIfs(present(low), model.NewScratch())[4]; w.Flight.Outcome != model.NoLiftOff || len(w.Missed) == 0 {
		t.Errorf("one bar less of 0.9: %v, missed %v", w.Flight.Outcome, w.Missed)
	}
}

func present(b *Brief) []float64 {
	var x []float64
	for _, v := range b.Vary {
		x = append(x, v.Value(&b.Rocket, &b.Site))
	}
	return x
}
