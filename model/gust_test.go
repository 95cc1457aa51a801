package model

import (
	"math"
	"testing"
)

// off returns the largest incidence in gusts of a rocket that must have one.
func off(t *testing.T, r *Rocket, site *Site) float64 {
	t.Helper()
	got, ok := GustIncidence(r, site, NewScratch())
	if !ok {
		t.Fatal("no incidence in gusts")
	}
	return got
}

// In calm air an upright rocket meets nothing but the gust: an angle of about its
// speed over the rocket's, somewhere between that at its fastest and, since it may
// swing as far again, twice that at the end of the guide.
func TestGustInCalmAir(t *testing.T) {
	r, site := carbon()
	site.Wind, site.Tilt = 0, 0
	f := mustFly(t, r, site)
	last := 0.0
	for _, speed := range []float64{0, 1, 2, 4} {
		site.Gust = speed
		got := off(t, r, site)
		low := 0.3 * math.Atan(speed/figure(t, &f, MaxSpeed))
		high := 2 * math.Atan(speed/figure(t, &f, GuideSpeed))
		if got < low || got > high || speed > 0 && got <= last {
			t.Errorf("gust of %g m/s: %g rad, want %g to %g, and more than %g", speed, got, low, high, last)
		}
		last = got
	}
}

// A gust adds to the wind's step off the guide, and tells most on a rocket that
// leaves it slowly. The static margin knows neither.
func TestGustAddsToWind(t *testing.T) {
	r, site := carbon()
	site.Tilt = 0
	calm, margin := 0.0, 0.0
	for _, wind := range []float64{0, 3, 6} {
		site.Wind = wind
		f := mustFly(t, r, site)
		got := off(t, r, site)
		if got <= figure(t, &f, PeakIncidence) || got <= calm {
			t.Errorf("wind of %g m/s: %g rad in gusts, %g without, %g in less wind", wind, got, figure(t, &f, PeakIncidence), calm)
		}
		calm = got
		if m := figure(t, &f, GuideMargin); wind > 0 && math.Abs(m-margin) > 0.02 {
			t.Errorf("wind of %g m/s: margin %g off the guide, %g in less wind", wind, m, margin)
		} else {
			margin = m
		}
	}
	quick := off(t, r, site)
	site.Guide = 0.3
	if slow := off(t, r, site); slow <= quick {
		t.Errorf("%g rad off a guide of 0.3 m, %g off one of 1.5 m", slow, quick)
	}
}

// A rocket that swings freely does so in the wavelength which the gusts are cut
// to: read from its incidence between two upward crossings of none.
func TestGustWavelength(t *testing.T) {
	r, site := carbon()
	r.Chamber.Fill, r.Chamber.Throat, r.Chamber.GasThrust = 0.15, 0.016, 1e-9 // it coasts, all but at once
	site.Wind, site.Tilt, site.Guide = 1, 0, 3
	s := NewScratch()
	s.gust = gust{on: true, length: 1}
	s.reset(r, site)
	s.rise(r)
	wave := s.gust.over / 2
	if s.gust.length != wave {
		t.Fatalf("length %g of a wavelength of %g m", s.gust.length, wave)
	}
	s.gust = gust{}
	f := mustFly(t, r, site)
	var times []float64
	for at := 0.0; at < figure(t, &f, ApogeeTime); at += 1e-3 {
		times = append(times, at)
	}
	_, path := PathAt(nil, r, site, times, s)
	var low []float64 // m of way, where the unsigned incidence is least
	for i := 1; i+1 < len(path); i++ {
		if a := path[i].Incidence; a > 0 && path[i].Z > 3.1 && a < path[i-1].Incidence && a < path[i+1].Incidence {
			low = append(low, math.Hypot(path[i].X, path[i].Z))
		}
	}
	if len(low) < 2 {
		t.Fatalf("%d crossings", len(low))
	}
	near(t, "wavelength", 2*(low[1]-low[0]), wave, 0.1) // damped, and the gas in the rocket moves its CG a little
}

// There is no such angle for a rocket that leaves the guide unstable, or does not
// leave it; and no flight afterwards knows of a gust.
func TestNoGust(t *testing.T) {
	r, site := carbon()
	s := NewScratch()
	want := Fly(r, site, s)
	if n := testing.AllocsPerRun(5, func() { GustIncidence(r, site, s) }); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
	if got := Fly(r, site, s); got != want {
		t.Error("a flight after gusts is another one")
	}
	for name, change := range map[string]func(r *Rocket){
		"unstable":     func(r *Rocket) { r.Fins.Span = 0.02 },
		"too heavy":    func(r *Rocket) { r.Payload.Mass = 50 },
		"cannot exist": func(r *Rocket) { r.Chamber.Bore = 1 },
	} {
		r, site := carbon()
		change(r)
		if got, ok := GustIncidence(r, site, s); ok || got != 0 {
			t.Errorf("%s: %g rad, want none", name, got)
		}
	}
}
