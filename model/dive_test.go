package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// toppling is a rocket that comes down on its side, more or less: its fins are
// small.
func toppling() (*Rocket, *Site) {
	r, site := carbon()
	r.Fins.Span = 0.06
	return r, site
}

// A point mass of constant drag coefficient in uniform air falls from rest as
// V = V_t tanh(g t/V_t), over V_t²/g ln cosh(g t/V_t).
func TestDiveClosedForm(t *testing.T) {
	for _, terminal := range []float64{8, 30, 90} { // m/s
		s := NewScratch()
		s.vehicle = vehicle{air: uniform(1.2), drag: constantDrag(0.5), section: 0.006, canopy: 1, filling: 5}
		s.settled.mass = 0.5 * 1.2 * 0.006 * 0.5 * terminal * terminal / 9.80665
		s.opening = 3.7
		y := make([]float64, descentSize)
		y[height] = 1000
		at, grounded, ok := s.dive(y, 0)
		if !ok || grounded || at != s.opening {
			t.Fatalf("opening at %g s, grounded %v, ok %v", at, grounded, ok)
		}
		lag := terminal / 9.80665
		near(t, "speed", -y[vHeight], terminal*math.Tanh(at/lag), 2e-4)
		near(t, "way", 1000-y[height], terminal*lag*math.Log(math.Cosh(at/lag)), 2e-4)
		// To the ground, from 40 m.
		clear(y)
		y[height] = 40
		s.opening = math.Inf(1)
		at, grounded, _ = s.dive(y, 0)
		time := lag * math.Acosh(math.Exp(40/(terminal*lag)))
		if !grounded || math.Abs(y[height]) > 1e-6 {
			t.Errorf("grounded %v at %g m", grounded, y[height])
		}
		near(t, "time to the ground", at, time, 2e-4)
		near(t, "speed at the ground", -y[vHeight], terminal*math.Tanh(time/lag), 2e-4)
		if s.vehicle.filling != 5 {
			t.Error("the canopy is another one after a dive")
		}
	}
}

// Nothing that follows the top is better than nose first: the same flight by the
// textbook, integrated finely from the apex of the samples.
func TestNoBetterThanNoseFirst(t *testing.T) {
	for _, delay := range []float64{6, 60} {
		r, site := toppling()
		r.Recovery.Delay = delay
		f, path := Path(r, site, NewScratch())
		v := newVehicle(r, site)
		var apex Sample
		for _, p := range path {
			if p.Phase == CoastPhase && p.Vertical <= 1e-6 {
				apex = p
				break
			}
		}
		mass := 2 * figure(t, &f, LandingEnergy) / math.Pow(figure(t, &f, TouchdownSpeed), 2)
		downwind := math.Copysign(math.Sqrt(math.Max(apex.Speed*apex.Speed-apex.Vertical*apex.Vertical, 0)), figure(t, &f, ThrustEndLean))
		y := []float64{apex.Z, apex.Vertical, apex.X, downwind, 0}
		until := delay + r.Recovery.Latency - apex.T
		integrate(t, y, func(y []float64) float64 { return min(y[0], until-y[4]) }, func(z, dy []float64) {
			a := v.air.At(z[0])
			ux := z[3] - v.air.Wind(z[0])
			speed2 := ux*ux + z[1]*z[1]
			k := a.Density / 2 * math.Sqrt(speed2) * v.section * v.drag.coefficient(speed2, a.PerViscosity, a.PerSound) / mass
			dy[0], dy[1], dy[2], dy[3], dy[4] = z[1], -k*z[1]-9.80665, z[3], -k*ux, 1
		})
		if delay == 60 {
			near(t, "landing_speed", figure(t, &f, LandingSpeed), -y[1], 1e-3)
			if f.Warnings&Broadside == 0 || -path[len(path)-1].Vertical > -y[1]/1.5 {
				t.Errorf("lands at %g m/s as flown, %g nose first: %v", -path[len(path)-1].Vertical, -y[1], f.Warnings.Keys())
			}
			continue
		}
		near(t, "deploy_speed", figure(t, &f, DeploySpeed), math.Hypot(y[3]-v.air.Wind(y[0]), y[1]), 1e-3)
		near(t, "deploy_height", figure(t, &f, DeployHeight), y[0], 1e-3)
	}
}

// The worse of both is continuous in the timer's setting, from before the top to
// well past it.
func TestWorseOfBothIsContinuous(t *testing.T) {
	for _, make := range []func() (*Rocket, *Site){carbon, toppling} {
		r, site := make()
		f := mustFly(t, r, site)
		top, sc := figure(t, &f, ApogeeTime), NewScratch()
		worst := map[Figure]float64{
			DeploySpeed: 0.15, DeployHeight: 0.15, OpeningForce: 3, LandingSpeed: 0.01, TouchdownSpeed: 0.01, Drift: 0.4,
		}
		var last Flight
		for i := range 400 {
			r.Recovery.Delay = top - r.Recovery.Latency - 0.5 + 0.01*float64(i)
			f := Fly(r, site, sc)
			for id, most := range worst {
				if i == 0 {
					continue
				}
				a, b := figure(t, &last, id), figure(t, &f, id)
				if math.Abs(a-b) > most+0.02*math.Abs(a) {
					t.Errorf("%s goes from %g to %g at a delay of %g s", Figures[id].Key, a, b, r.Recovery.Delay)
				}
			}
			last = f
		}
	}
}

// Where the rocket that falls nose first is on the ground before the timer ends,
// that is the outcome, although it would still be falling on its side.
func TestGroundComesFirstNoseFirst(t *testing.T) {
	r, site := toppling()
	bare := Bare(r, site, NewScratch())
	whole := figure(t, &bare, FlightTime)
	r.Recovery.Delay = whole - 1 - r.Recovery.Latency
	f, path := Path(r, site, NewScratch())
	if path[len(path)-1].Phase != CanopyPhase {
		t.Fatal("the canopy stays closed as flown, want it open")
	}
	absent(t, &f, canopyFigures...)
	near(t, "landing_speed", figure(t, &f, LandingSpeed), figure(t, &bare, LandingSpeed), 1e-12)
	if want := CanopyNotFull | Broadside; f.Warnings&want != want {
		t.Errorf("warnings %v, want those of %v too", f.Warnings.Keys(), want.Keys())
	}
}

// The warning comes where nose first is faster by half, and not before.
func TestBroadsideBegins(t *testing.T) {
	warned, not := 0, 0
	for aft := 0.0; aft < 0.06; aft += 0.003 {
		r, site := toppling()
		r.Parts[0].Station += aft - 0.03
		r.Recovery.Delay = 60
		f, path := Path(r, site, NewScratch())
		own := -path[len(path)-1].Vertical
		if got, want := f.Warnings&Broadside != 0, figure(t, &f, LandingSpeed) > 1.5*own; got != want {
			t.Errorf("%g m/s as flown, %g at worst: warned %v", own, figure(t, &f, LandingSpeed), got)
		} else if got {
			warned++
		} else {
			not++
		}
	}
	if warned == 0 || not == 0 {
		t.Errorf("%d rockets warned of and %d not, want some of both", warned, not)
	}
}

// Filling without weight: the air path s, over which V = V₀ exp(−k s³/(3 s_f²))
// with k = ρ C_D S₀/(2m), so that the steady force peaks at s³ = s_f²/k. It is the
// largest one where the canopy is large for its load, and the peak at the end
// where it is not, without a step between.
func TestFillClosedForm(t *testing.T) {
	for k := 0.02; k < 3; k *= 1.05 { // 1/m
		const canopy, filling, speed = 0.5, 8.0, 400.0 // m², m, m/s: weight does nothing at that speed
		s := NewScratch()
		s.vehicle = vehicle{air: uniform(1.2), drag: constantDrag(0), section: 0.006, canopy: canopy, filling: filling}
		s.settled.mass = 0.5 * 1.2 * canopy / k
		s.peaks[pullGauge] = lowest
		o := s.descent
		copy(o.Y, []float64{0, 1000, speed, 0, 0})
		if o.T = 0; !s.fill(o) {
			t.Fatal("the canopy does not fill")
		}
		force := func(path float64) float64 {
			v := speed * math.Exp(-k*path*path*path/(3*filling*filling))
			return 0.6 * v * v * canopy * math.Pow(path/filling, 2)
		}
		want := openingPeak * force(filling)
		if at := math.Cbrt(filling * filling / k); at < filling {
			want = max(want, force(at))
		}
		near(t, "opening force", s.peaks[pullGauge], want, 1e-3)
	}
}

// Short cuts to the ground agree with the integrator's whole way: random rockets
// under random canopies.
func TestShortCutsOfADescent(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 1))
	quick, whole := NewScratch(), NewScratch()
	whole.Tolerance = 1e-9
	n := 0
	for range 300 {
		r, site := design(rng)
		r.Fins.Span = 0.13 + 0.05*rng.Float64() // stable
		r.Recovery.Canopy, r.Recovery.Delay = 0.4+1.2*rng.Float64(), 4+5*rng.Float64()
		f, g := Fly(r, site, quick), Fly(r, site, whole)
		if f.Outcome != Landed || g.Outcome != Landed {
			t.Fatalf("%v and %v", f.Outcome, g.Outcome)
		}
		for _, id := range []Figure{OpeningForce, LandingSpeed, TouchdownSpeed, LandingEnergy, Drift, FlightTime, DeploySpeed} {
			got, has := f.Figure(id)
			want, wants := g.Figure(id)
			if has != wants {
				t.Errorf("%s present %v, want %v", Figures[id].Key, has, wants)
			} else if off := offBy(id, got, want); off > 1 {
				t.Errorf("%s = %g, want %g (canopy %g, delay %g)", Figures[id].Key, got, want, r.Recovery.Canopy, r.Recovery.Delay)
			}
			if has {
				n++
			}
		}
	}
	if n < 1500 {
		t.Errorf("%d figures compared, want most of 2100", n)
	}
}

// A canopy that opens before the top: the top is found wherever in the filling it
// falls, in the last bit of it too.
func TestTopUnderAFillingCanopy(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 2))
	scratch := NewScratch()
	landed := 0
	for range 6000 {
		r, site := design(rng)
		r.Recovery.Delay = 60
		free := Fly(r, site, scratch)
		r.Recovery.Delay = figure(t, &free, ApogeeTime) - 3*rng.Float64() - r.Recovery.Latency
		f := Fly(r, site, scratch)
		if f.Outcome != Landed {
			continue
		}
		landed++
		top, opened := figure(t, &f, Apogee), figure(t, &f, DeployHeight)
		if at := figure(t, &f, ApogeeTime); top < opened || at < r.Recovery.Delay {
			t.Errorf("apogee %g m at %g s, of a canopy that opens at %g m, %g s", top, at, opened, r.Recovery.Delay)
		}
	}
	if landed < 5900 {
		t.Errorf("%d land, want most of 6000", landed)
	}
}

// A rocket without a canopy flies as one whose canopy never opens, and is not
// warned of a canopy that is not full.
func TestNoCanopy(t *testing.T) {
	for _, make := range []func() (*Rocket, *Site){carbon, toppling} {
		r, site := make()
		bare := Bare(r, site, NewScratch())
		r.Recovery = Recovery{Delay: 1} // which no timer has
		f := mustFly(t, r, site)
		for id := range Figures {
			got, has := f.Figure(Figure(id))
			if want, had := bare.Figure(Figure(id)); has != had || got != want {
				t.Errorf("%s %v (%v), of a canopy that never opens %v (%v)", Figures[id].Key, got, has, want, had)
			}
		}
		if f.Warnings != bare.Warnings&^CanopyNotFull || bare.Warnings&CanopyNotFull == 0 {
			t.Errorf("warnings %v, of a canopy that never opens %v", f.Warnings.Keys(), bare.Warnings.Keys())
		}
	}
}
