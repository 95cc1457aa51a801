package answers

import (
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/testdata/briefs"
)

// TestWhatIfs holds each mishap against what it must do.
func TestWhatIfs(t *testing.T) {
	b := briefs.Scattering(t, "")
	all := whatIfs(b, []float64{0.17, 0.011, 0.3, 0.08, 5.2}, model.NewScratch())
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
	// A timer of less than half a second opens at once.
	soon := briefs.Scattering(t, "", "recovery.delay=0.3 s")
	r, s := soon.At(soon.Own())
	r.Recovery.Delay = 0
	at0 := model.Fly(&r, &s, model.NewScratch())
	early := whatIfs(soon, soon.Own(), model.NewScratch())[3].Flight
	got, _ := early.Figure(model.DeployHeight)
	if want, _ := at0.Figure(model.DeployHeight); early.Outcome != at0.Outcome || got != want {
		t.Errorf("half a second early of 0.3 s opens at %v m, want %v m, at once", got, want)
	}
	// A bottle at less than a bar has none to lose.
	low := briefs.Scattering(t, "", "chamber.pressure=0.9 bar")
	if w := whatIfs(low, low.Own(), model.NewScratch())[4]; w.Flight.Outcome != model.NoLiftOff || len(w.Missed) == 0 {
		t.Errorf("one bar less of 0.9: %v, missed %v", w.Flight.Outcome, w.Missed)
	}
}

// TestWhatIfFlights flies each mishap by hand.
func TestWhatIfFlights(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	scratch := model.NewScratch()
	want := map[string]func(r *model.Rocket) model.Flight{
		"as_set":       func(r *model.Rocket) model.Flight { return model.Fly(r, &b.Site, scratch) },
		"canopy_fails": func(r *model.Rocket) model.Flight { return model.Bare(r, &b.Site, scratch) },
		"canopy_half":  func(r *model.Rocket) model.Flight { r.Recovery.Drag = 0.375; return model.Fly(r, &b.Site, scratch) },
		"timer_early":  func(r *model.Rocket) model.Flight { r.Recovery.Delay = 4.7; return model.Fly(r, &b.Site, scratch) },
		"pressure_low": func(r *model.Rocket) model.Flight { r.Chamber.Pressure = 14e5; return model.Fly(r, &b.Site, scratch) },
		"heavier":      func(r *model.Rocket) model.Flight { r.Payload.Mass = 0.13; return model.Fly(r, &b.Site, scratch) },
	}
	all := whatIfs(b, b.Own(), model.NewScratch())
	if len(all) != len(want) {
		t.Errorf("%d what-ifs, want %d", len(all), len(want))
	}
	for _, w := range all {
		r := b.Rocket
		by := want[w.Key]
		if by == nil {
			t.Errorf("%s is unknown here", w.Key)
			continue
		}
		f := by(&r)
		got, _ := w.Flight.Figure(model.Apogee)
		height, _ := f.Figure(model.Apogee)
		// 1e-9: 14 bar as typed and as a difference.
		if math.Abs(got-height) > 1e-9*height {
			t.Errorf("%s: apogee %v, flown by hand %v", w.Key, got, height)
		}
	}
}
