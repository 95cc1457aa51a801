package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestPath(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 1))
	sc := NewScratch()
	for i := range 30 {
		r, site := design(rng)
		switch i % 5 {
		case 1:
			r.Recovery.Delay = 60
		case 2:
			r.Recovery.Delay = 0.1
		case 3:
			r.Chamber.Pressure, r.Chamber.Fill, r.Chamber.Throat, site.Guide = 6e5, 0.2, 0.0042, 0.3 // held at first
		}
		want := Fly(r, site, NewScratch())
		f, path := Path(r, site, sc)
		if f != want {
			t.Fatalf("flight %d differs with its path: %+v, want %+v", i, f, want)
		}
		if f.Outcome != Landed {
			if path != nil {
				t.Errorf("flight %d: %v with a path", i, f.Outcome)
			}
			continue
		}
		if len(path) < 200 || len(path) > 300 {
			t.Errorf("flight %d: %d samples, want 200 to 300", i, len(path))
		}
		first, last := path[0], path[len(path)-1]
		if first.T != 0 || first.X != 0 || first.Z != 0 || first.Speed != 0 {
			t.Errorf("flight %d starts with %+v", i, first)
		}
		// A path is integrated to the ground, a flight's descent is a quadrature:
		// they agree within what a figure may err. The path is the flight's as
		// computed, and nothing in it is worse than a figure says.
		if want := figure(t, &f, FlightTime); offBy(FlightTime, last.T, want) > 1 {
			t.Errorf("flight %d: last time %v, want %v", i, last.T, want)
		}
		for id, got := range map[Figure]float64{Drift: last.X, TouchdownSpeed: last.Speed} {
			want := figure(t, &f, id)
			late, opens := f.Figure(DeployLate)
			early := opens && late <= 0 // nothing but the canopy follows the top
			if off := offBy(id, got, want); off > 1 && (early || math.Abs(got) > math.Abs(want)) {
				t.Errorf("flight %d: last %s %v, want %v", i, Figures[id].Key, got, want)
			}
		}
		if math.Abs(last.Z) > 1e-4 {
			t.Errorf("flight %d ends at %g m", i, last.Z)
		}
		highest, gap := followed(t, i, path)
		// Height and its rate are interpolated each for itself.
		near(t, "highest sample", highest, figure(t, &f, Apogee), 1e-5)
		if even := figure(t, &f, FlightTime) / restPoints; gap > even*(1+1e-9) {
			t.Errorf("flight %d: samples %g s apart, want %g", i, gap, even)
		}
	}
}

// followed returns the highest sample of a path and the longest time between two; time
// and phases of flight i only rise.
func followed(t *testing.T, i int, path []Sample) (highest, gap float64) {
	t.Helper()
	for j, p := range path {
		highest = max(highest, p.Z)
		if j == 0 {
			continue
		}
		before := path[j-1]
		gap = max(gap, p.T-before.T)
		if p.T < before.T || p.Phase < before.Phase {
			t.Errorf("flight %d: %v at %g s after %v at %g s", i, p.Phase, p.T, before.Phase, before.T)
		}
		// Both sides of an event share its instant.
		if p.Phase != before.Phase && p.Phase != CanopyPhase && p.T != before.T {
			t.Errorf("flight %d: no sample on both sides of %v at %g s", i, p.Phase, p.T)
		}
	}
	return highest, gap
}

// What a sample says hangs together.
func TestSamples(t *testing.T) {
	r, site := carbon()
	_, path := Path(r, site, NewScratch())
	v := newVehicle(r, site)
	seen := map[Phase]bool{}
	for _, p := range path {
		seen[p.Phase] = true
		if math.Abs(p.Vertical) > p.Speed*(1+1e-12) {
			t.Errorf("%+v: vertical speed above speed", p)
		}
		near(t, "Mach number", p.Mach, p.AirSpeed/v.air.At(p.Z).SoundSpeed(), 1e-9)
		if p.Phase == CanopyPhase {
			continue
		}
		near(t, "margin", p.Margin, (p.CP-p.CG)/r.Body.Diameter, 1e-9)
		h, _ := v.heft(p.Water, 0)
		if p.Mass < h.mass || p.Mass > h.mass+0.08 {
			t.Errorf("%g kg at %g s, want %g and the gas", p.Mass, p.T, h.mass)
		}
		if (p.Thrust > 0) != (p.Phase <= GasPhase) {
			t.Errorf("%g N in the %v phase", p.Thrust, p.Phase)
		}
	}
	for phase := WaterPhase; phase <= CanopyPhase; phase++ {
		if !seen[phase] {
			t.Errorf("no sample in the %v phase", phase)
		}
	}
}
