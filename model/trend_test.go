package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// trend flies a design at rising values of one quantity and checks that a
// figure never moves the wrong way by more than its error.
func trend(t *testing.T, name string, id Figure, sign float64, designs int, set func(r *Rocket, s *Site, step int)) {
	t.Helper()
	rng := rand.New(rand.NewPCG(31, uint64(id)))
	sc := NewScratch()
	for i := range designs {
		r, s := design(rng)
		last := math.Inf(-1)
		for step := range 8 {
			set(r, s, step)
			f := Fly(r, s, sc)
			if f.Outcome != Landed {
				t.Fatalf("%s, design %d, step %d: %v", name, i, step, f.Outcome)
			}
			v := sign * figure(t, &f, id)
			if v < last-max(1e-4*math.Abs(v), floor[id]/10) {
				t.Errorf("%s, design %d: %s goes from %.6g to %.6g at step %d", name, i, Figures[id].Key, sign*last, sign*v, step)
			}
			last = v
		}
	}
}

func TestTrends(t *testing.T) {
	const falls, rises = -1, 1
	scale := func(from, to float64, step int) float64 { return from + (to-from)*float64(step)/7 }
	trend(t, "more drag", Apogee, falls, 30, func(r *Rocket, s *Site, i int) {
		s.Wind, r.Recovery.Delay = 0, 60
		r.Body.Drag = scale(1e-12, 2, i)
	})
	trend(t, "more drag", MaxSpeed, falls, 20, func(r *Rocket, s *Site, i int) {
		s.Wind, r.Recovery.Delay = 0, 7
		r.Body.Drag = scale(0.2, 2, i)
	})
	trend(t, "more pressure", Apogee, rises, 30, func(r *Rocket, s *Site, i int) {
		s.Wind, s.Tilt, r.Recovery.Delay = 0, 0, 60
		r.Chamber.Pressure = scale(8e5, 20e5, i)
	})
	for _, id := range []Figure{DryMargin, GuideMargin, Margin} {
		trend(t, "more span", id, rises, 30, func(r *Rocket, _ *Site, i int) { r.Fins.Span = scale(0.08, 0.18, i) })
		// Ballast forward of everything.
		trend(t, "more ballast", id, rises, 30, func(r *Rocket, _ *Site, i int) { r.Ballast.Mass = scale(0, 0.3, i) })
	}
	trend(t, "more wind", Drift, rises, 30, func(r *Rocket, s *Site, i int) {
		s.Tilt, r.Fins.Span = 0, max(r.Fins.Span, 0.12)
		r.Recovery.Delay = 5
		s.Wind = scale(0, 8, i)
	})
	// With a timer that opens well above ground.
	trend(t, "larger canopy", LandingSpeed, falls, 30, func(r *Rocket, _ *Site, i int) {
		r.Recovery.Delay, r.Recovery.Canopy = 4, scale(0.5, 1.2, i)
	})
	trend(t, "heavier payload", LandingSpeed, rises, 30, func(r *Rocket, _ *Site, i int) {
		r.Recovery.Delay, r.Payload.Mass = 4, scale(0.04, 0.3, i)
	})
	trend(t, "larger throat", PeakThrust, rises, 30, func(r *Rocket, _ *Site, i int) { r.Chamber.Throat = scale(0.006, 0.016, i) })
	trend(t, "larger throat", WaterTime, falls, 30, func(r *Rocket, _ *Site, i int) { r.Chamber.Throat = scale(0.006, 0.016, i) })
	trend(t, "thicker fins", FlutterFactor, rises, 10, func(r *Rocket, _ *Site, i int) { r.Fins.Thickness = scale(0.001, 0.003, i) })
	trend(t, "longer guide", GuideSpeed, rises, 30, func(_ *Rocket, s *Site, i int) { s.Guide = scale(0.5, 4, i) })
	// Past apogee, the later the faster, until the ground comes first.
	trend(t, "later opening", DeploySpeed, rises, 30, func(r *Rocket, s *Site, i int) {
		s.Wind, s.Tilt = 0, 0
		r.Recovery.Delay = scale(6.5, 8, i)
	})
}

// Calm air and an upright guide keep a flight in its plane: no drift, no
// incidence, no lean.
func TestUprightFlight(t *testing.T) {
	r, s := carbon()
	s.Wind, s.Tilt = 0, 0
	f := mustFly(t, r, s)
	for _, id := range []Figure{Drift, PeakIncidence, ThrustEndLean} {
		if v := figure(t, &f, id); v != 0 {
			t.Errorf("%s = %g, want 0", Figures[id].Key, v)
		}
	}
	near(t, "touchdown_speed", figure(t, &f, TouchdownSpeed), figure(t, &f, LandingSpeed), 1e-15)
}

// The mirror image of a flight: a guide that leans the other way in calm air.
func TestMirror(t *testing.T) {
	r, s := carbon()
	s.Wind, s.Tilt = 0, 0.08
	left := mustFly(t, r, s)
	s.Tilt = -s.Tilt
	right := mustFly(t, r, s)
	for id := range Figure(FigureCount) {
		a, has := left.Figure(id)
		b, also := right.Figure(id)
		if has != also {
			t.Errorf("%s present %v leaning one way, %v the other", Figures[id].Key, has, also)
		}
		if id == Drift || id == ThrustEndLean {
			b = -b
		}
		if a != b {
			t.Errorf("%s: %g leaning one way, %g the other", Figures[id].Key, a, b)
		}
	}
}

// A lean into the wind points the rocket upwind at first, and a stable rocket
// turns into the wind besides.
func TestWeathercock(t *testing.T) {
	r, s := carbon()
	s.Tilt, s.Wind = 0, 6
	f := mustFly(t, r, s)
	if lean := figure(t, &f, ThrustEndLean); lean >= 0 {
		t.Errorf("lean %g rad in wind, want upwind", lean)
	}
	s.Tilt, s.Wind = 0.05, 0
	f = mustFly(t, r, s)
	if lean := figure(t, &f, ThrustEndLean); lean > -0.05 {
		t.Errorf("lean %g rad from a guide leaning 0.05 upwind, want more", lean)
	}
}

// The incidence on leaving an upright guide is the wind's share of the flow,
// atan(w/v): computed, as in 4 m/s against 15 m/s, 14.93°.
func TestIncidenceOffTheGuide(t *testing.T) {
	near(t, "atan(4/15) in degrees", math.Atan2(4, 15)*180/math.Pi, 14.93, 1e-3)
	r, s := carbon()
	s.Tilt, s.Wind = 0, 4
	f, path := Path(r, s, NewScratch())
	for _, p := range path {
		if p.Incidence > 0 {
			v := newVehicle(r, s)
			want := math.Atan2(v.air.Wind(s.Guide), figure(t, &f, GuideSpeed))
			near(t, "incidence off the guide", p.Incidence, want, 1e-6)
			return
		}
	}
	t.Error("no incidence in wind")
}

// Published observations (J. Natl. High School Sci. 2025; Science Castle 2017
// P-90; a school page of the German Aerospace Center) put the best fill of
// light bottles of 1 to 2 l at 4 to 7 bar between 0.2 and 0.45: a loose band.
func TestBestFill(t *testing.T) {
	sc := NewScratch()
	for _, bar := range []float64{4, 5.5, 7} {
		r, s := carbon()
		s.Wind, s.Tilt = 0, 0
		r.Chamber.Cylinder, r.Chamber.Pressure, r.Chamber.Throat, r.Recovery.Delay = 0.2, bar*1e5, 0.0215, 60
		r.Parts = []Part{{"bottle and bay", 0.12, 0.8, 0.8}}
		r.Payload.Mass = 0
		best, height := 0.0, 0.0
		for fill := 0.06; fill < 0.8; fill += 0.02 {
			r.Chamber.Fill = fill
			f := Fly(r, s, sc)
			if h, _ := f.Figure(Apogee); h > height {
				best, height = fill, h
			}
		}
		if best < 0.2 || best > 0.45 {
			t.Errorf("%g bar: best fill %.2f (%.1f m), want 0.2 to 0.45", bar, best, height)
		}
	}
}
