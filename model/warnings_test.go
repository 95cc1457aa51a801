package model

import (
	"math"
	"slices"
	"testing"
)

func TestWarnings(t *testing.T) {
	has := func(f Flight, w Warnings) bool { return f.Outcome == Landed && f.Warnings&w != 0 }
	plain := altered(func(*Rocket, *Site) {})
	if plain.Warnings != 0 {
		t.Errorf("the fixture warns of %v, want nothing", plain.Warnings.Keys())
	}
	for _, c := range []struct {
		name   string
		change func(r *Rocket, s *Site)
		want   Warnings
	}{
		{"400 bar", func(r *Rocket, _ *Site) { r.Chamber.Pressure = 400e5 }, MachHigh},
		{"a gale", func(_ *Rocket, s *Site) { s.Wind = 20 }, IncidenceHigh},
		{"thin air", func(_ *Rocket, s *Site) { s.Pressure, s.Humidity = 20, 0 }, ReynoldsLow},
		{"4 % of water", func(r *Rocket, _ *Site) { r.Chamber.Fill = 0.04 }, FillExtreme},
		{"81 % of water", func(r *Rocket, s *Site) { r.Chamber.Fill = 0.81; s.Guide = 0.5 }, FillExtreme},
		{"an outlet of half the bore", func(r *Rocket, _ *Site) { r.Chamber.Throat = 0.044 }, OutletWide},
		{"a ballistic landing", func(r *Rocket, _ *Site) { r.Recovery.Delay = 60 }, CanopyNotFull},
		{"an opening just above ground", func(r *Rocket, s *Site) {
			r.Recovery.Delay = 60
			ballistic := Fly(r, s, NewScratch())
			r.Recovery.Delay = figure(t, &ballistic, FlightTime) - r.Recovery.Latency - 0.1
		}, CanopyNotFull},
	} {
		if f := altered(c.change); !has(f, c.want) {
			t.Errorf("%s: %v with %v, want %v", c.name, f.Outcome, f.Warnings.Keys(), c.want.Keys())
		}
	}
	// Just inside the domain.
	for _, fill := range []float64{0.05, 0.8} {
		if f := altered(func(r *Rocket, s *Site) { r.Chamber.Fill = fill; s.Guide = 0.5 }); f.Outcome != Landed || f.Warnings&FillExtreme != 0 {
			t.Errorf("fill %g: %v with %v", fill, f.Outcome, f.Warnings.Keys())
		}
	}
}

// Each warning comes where its quantity crosses the bound and not before: a
// sweep across it, with the quantity from the figures.
func TestWarningsBegin(t *testing.T) {
	// ν of air by Sutherland's formula and the gas law, for the Reynolds number.
	perNu := func(s *Site) float64 {
		mu := 1.458e-6 * math.Pow(s.Temperature, 1.5) / (s.Temperature + 110.4)
		return s.Pressure / (287.05287 * s.Temperature) / mu
	}
	for _, c := range []struct {
		name     string
		set      func(r *Rocket, s *Site, x float64)
		from, to float64 // of x
		want     Warnings
		outside  func(f *Flight, r *Rocket, s *Site) float64 // above 0 outside the domain
	}{
		{
			"Mach", func(r *Rocket, _ *Site, x float64) { r.Chamber.Pressure = x }, 100e5, 500e5, MachHigh,
			func(f *Flight, _ *Rocket, _ *Site) float64 { return figure(t, f, MaxMach) - 0.8 },
		},
		{
			"incidence", func(_ *Rocket, s *Site, x float64) { s.Wind = x }, 2, 15, IncidenceHigh,
			func(f *Flight, _ *Rocket, _ *Site) float64 { return figure(t, f, PeakIncidence) - 15*math.Pi/180 },
		},
		{
			"Reynolds number", func(_ *Rocket, s *Site, x float64) { s.Pressure, s.Humidity = x, 0 }, 20, 1000, ReynoldsLow,
			func(f *Flight, r *Rocket, s *Site) float64 {
				return 1e4 - figure(t, f, MaxSpeed)*r.Body.Length*perNu(s)
			},
		},
		{
			"little water", func(r *Rocket, _ *Site, x float64) { r.Chamber.Fill = x }, 0.03, 0.07, FillExtreme,
			func(_ *Flight, r *Rocket, _ *Site) float64 { return 0.05 - r.Chamber.Fill },
		},
		{
			"much water", func(r *Rocket, s *Site, x float64) { r.Chamber.Fill, s.Guide = x, 0.5 }, 0.78, 0.82, FillExtreme,
			func(_ *Flight, r *Rocket, _ *Site) float64 { return r.Chamber.Fill - 0.8 },
		},
	} {
		met, missed := 0, 0
		for i := range 41 {
			r, s := carbon()
			c.set(r, s, c.from+(c.to-c.from)*(float64(i)+0.3)/41)
			f := mustFly(t, r, s)
			warned, outside := f.Warnings&c.want != 0, c.outside(&f, r, s) > 0
			if warned != outside {
				t.Errorf("%s, step %d: warned %v, outside the domain %v", c.name, i, warned, outside)
			}
			if outside {
				missed++
			} else {
				met++
			}
		}
		if met == 0 || missed == 0 {
			t.Errorf("%s: %d flights inside the domain and %d outside, want some of both", c.name, met, missed)
		}
	}
}

// A canopy of 0.95 m fills on 7.6 m of air path: not from below that height,
// and always from well above it.
func TestCanopyNotFullBegins(t *testing.T) {
	low, high := 0, 0
	for delay := 8.0; delay < 11.5; delay += 0.05 {
		f := altered(func(r *Rocket, s *Site) { r.Recovery.Delay, s.Wind, s.Tilt = delay, 0, 0 })
		h, opened := f.Figure(DeployHeight)
		warned := f.Warnings&CanopyNotFull != 0
		switch {
		case !opened || h < 7:
			low++
			if !warned {
				t.Errorf("opening at %g m (%v): no warning", h, opened)
			}
		case h > 8:
			high++
			if warned {
				t.Errorf("opening at %g m: a warning", h)
			}
		}
	}
	if low == 0 || high == 0 {
		t.Errorf("%d openings too low and %d high enough, want some of both", low, high)
	}
}

func TestWarningWords(t *testing.T) {
	all := MachHigh | IncidenceHigh | ReynoldsLow | FillExtreme | CanopyNotFull | Broadside | OutletWide
	want := []string{"mach_high", "incidence_high", "reynolds_low", "fill_extreme", "canopy_not_full", "broadside", "outlet_wide"}
	if got := all.Keys(); !slices.Equal(got, want) {
		t.Errorf("keys %v, want %v", got, want)
	}
	if got := (FillExtreme | MachHigh).Keys(); !slices.Equal(got, []string{"mach_high", "fill_extreme"}) {
		t.Errorf("keys %v, want mach_high and fill_extreme", got)
	}
	if len(all.Texts()) != len(want) {
		t.Errorf("%d texts for %d keys", len(all.Texts()), len(want))
	}
}
