package model

import (
	"math"
	"slices"
	"testing"
)

// altered flies the fixture with changes.
func altered(change func(r *Rocket, s *Site)) Flight {
	r, s := carbon()
	change(r, s)
	return Fly(r, s, NewScratch())
}

// outcomes are changes of the fixture with what comes of its flight.
var outcomes = []struct {
	name   string
	change func(r *Rocket, s *Site)
	want   Outcome
}{
	{"the fixture", func(*Rocket, *Site) {}, Landed},
	{"0.3 bar under a kilogram of water", func(r *Rocket, _ *Site) { r.Chamber.Pressure = 0.3e5 }, NoLiftOff},
	{"gas that cannot lift it", func(r *Rocket, _ *Site) { r.Chamber.Pressure, r.Chamber.Fill = 0.3e5, 0 }, NoLiftOff},
	{"next to no pressure and no water", func(r *Rocket, _ *Site) { r.Chamber.Pressure, r.Chamber.Fill = 20, 0 }, NoLiftOff},
	{"a guide that never ends", func(_ *Rocket, s *Site) { s.Guide = 1e4 }, StuckOnGuide},
	{"lifts off and sinks back", func(r *Rocket, s *Site) { r.Chamber.Pressure, s.Guide = 1.5e5, 30 }, StuckOnGuide},
	{"a bore wider than the body", func(r *Rocket, _ *Site) { r.Chamber.Bore = 0.091 }, NoRoom},
	{"a throat as wide as the bore", func(r *Rocket, _ *Site) { r.Chamber.Throat = r.Chamber.Bore }, NoRoom},
	{"a chamber longer than the body", func(r *Rocket, _ *Site) { r.Chamber.Cylinder = 1.3 }, NoRoom},
	{"a neck that pushes the chamber out of the nose", func(r *Rocket, _ *Site) { r.Chamber.Neck = 0.6 }, NoRoom},
	{"a neck that just fits", func(r *Rocket, _ *Site) { r.Chamber.Neck = 1.36 - 0.69 - 0.087 }, Landed},
	{"a neck behind the exit", func(r *Rocket, _ *Site) { r.Chamber.Neck = -0.01 }, NoRoom},
	{"the volume of a larger vessel", func(r *Rocket, _ *Site) { r.Chamber.Volume = 0.0095 }, NoRoom},
	{"the volume of a smaller vessel", func(r *Rocket, _ *Site) { r.Chamber.Volume = 0.0022 }, NoRoom},
	{"a throat wider than the scaled bore", func(r *Rocket, _ *Site) { r.Chamber.Volume, r.Chamber.Throat = 0.003, 0.08 }, NoRoom},
	{"a measured volume", func(r *Rocket, _ *Site) { r.Chamber.Volume = 0.0043 }, Landed},
	{"a tube thicker than the throat", func(r *Rocket, _ *Site) { r.Chamber.Tube = Tube{0.012, 0.3} }, NoRoom},
	{"a tube longer than the guide", func(r *Rocket, s *Site) { r.Chamber.Tube, s.Guide = Tube{0.01, 0.7}, 0.6 }, NoRoom},
	{"a tube longer than the chamber", func(r *Rocket, s *Site) { r.Chamber.Tube, s.Guide = Tube{0.01, 0.8}, 3 }, NoRoom},
	{"a tube of no diameter", func(r *Rocket, _ *Site) { r.Chamber.Tube = Tube{0, 0.3} }, NoRoom},
	{"a tube as long as guide, chamber and neck, as thick as the throat", func(r *Rocket, s *Site) {
		r.Chamber.Neck, r.Chamber.Tube, s.Guide = 0.02, Tube{0.011, 0.797}, 0.797
	}, Landed},
	{"a tube too thin to lift it", func(r *Rocket, _ *Site) { r.Chamber.Tube = Tube{0.003, 0.3} }, NoLiftOff},
	{"fins behind the nozzle", func(r *Rocket, _ *Site) { r.Fins.Station = 1.25 }, NoRoom},
	{"fins before the nose", func(r *Rocket, _ *Site) { r.Fins.Station = -0.01 }, NoRoom},
	{"a tail wider than the body", func(r *Rocket, _ *Site) { r.Body.Tail.Diameter = 0.1 }, NoRoom},
	{"nose and tail longer than the body", func(r *Rocket, _ *Site) { r.Body.Nose.Length = 1.35 }, NoRoom},
	{"an ogive blunter than a hemisphere", func(r *Rocket, _ *Site) { r.Body.Nose.Length = 0.04 }, NoRoom},
	{"full of water", func(r *Rocket, _ *Site) { r.Chamber.Fill = 1 }, NoRoom},
	{"no pressure", func(r *Rocket, _ *Site) { r.Chamber.Pressure = 0 }, NoRoom},
	{"no fins", func(r *Rocket, _ *Site) { r.Fins.Count = 0 }, NoRoom},
	{"a canopy of less than nothing", func(r *Rocket, _ *Site) { r.Recovery.Canopy = -0.1 }, NoRoom},
	{"no drag factor", func(r *Rocket, _ *Site) { r.Body.Drag = 0 }, NoRoom},
	{"no shape of the nose", func(r *Rocket, _ *Site) { r.Body.Nose.Shape = 0 }, NoRoom},
	{"no gas", func(r *Rocket, _ *Site) { r.Chamber.Gas = 0 }, NoRoom},
	{"no water jet", func(r *Rocket, _ *Site) { r.Chamber.Jet = 0 }, NoRoom},
	{"no contraction", func(r *Rocket, _ *Site) { r.Chamber.Contraction = 0 }, NoRoom},
	{"no gas jet", func(r *Rocket, _ *Site) { r.Chamber.GasJet = 0 }, NoRoom},
	{"no thrust of the gas", func(r *Rocket, _ *Site) { r.Chamber.GasThrust = 0 }, NoRoom},
	{"no proof", func(r *Rocket, _ *Site) { r.Chamber.Proof = 0 }, NoRoom},
	{"fins of no density", func(r *Rocket, _ *Site) { r.Fins.Density = 0 }, NoRoom},
	{"fins of no stiffness", func(r *Rocket, _ *Site) { r.Fins.ShearModulus = 0 }, NoRoom},
	{"fins of no finish", func(r *Rocket, _ *Site) { r.Fins.Edges = 0 }, NoRoom},
	{"a canopy without drag", func(r *Rocket, _ *Site) { r.Recovery.Drag = 0 }, NoRoom},
	{"nothing set", func(r *Rocket, s *Site) { *r, *s = Rocket{}, Site{} }, NoRoom},
	{"a length that is not a number", func(r *Rocket, _ *Site) { r.Chamber.Cylinder = math.NaN() }, NoRoom},
	{"wind that is not a number", func(_ *Rocket, s *Site) { s.Wind = math.NaN() }, NotFinite},
	{"drag that is not a number", func(r *Rocket, _ *Site) { r.Body.Drag = math.NaN() }, NotFinite},
	{"infinite mass", func(r *Rocket, _ *Site) { r.Payload.Mass = math.Inf(1) }, NotFinite},
	{"infinite proof pressure", func(r *Rocket, _ *Site) { r.Chamber.Proof = math.Inf(1) }, NotFinite},
	{"a throat like a hair, still held after an hour", func(r *Rocket, _ *Site) { r.Chamber.Throat = 20e-6 }, TimeLimit},
	{"a feather under a tent", func(r *Rocket, _ *Site) { r.Recovery.Canopy, r.Recovery.Drag = 40, 100 }, StepLimit},
}

func TestOutcomes(t *testing.T) {
	for _, c := range outcomes {
		f := altered(c.change)
		if f.Outcome != c.want {
			t.Errorf("%s: %v, want %v", c.name, f.Outcome, c.want)
		}
		if c.want == Landed {
			continue
		}
		for id := range Figure(FigureCount) {
			if v, ok := f.Figure(id); ok {
				t.Errorf("%s: %v has %s = %v", c.name, f.Outcome, Figures[id].Key, v)
			}
		}
	}
}

func TestOutcomeNames(t *testing.T) {
	want := []string{"landed", "no_lift_off", "stuck_on_guide", "no_room", "not_finite", "step_limit", "time_limit"}
	for i, name := range want {
		if got := Outcome(i + 1).String(); got != name {
			t.Errorf("outcome %d is %q, want %q", i+1, got, name)
		}
	}
}

// absent checks that of the flight of a rocket without a launch tube the
// figures given, and no others but those of the tube, are absent.
func absent(t *testing.T, f *Flight, gone ...Figure) {
	t.Helper()
	for id := range Figure(FigureCount) {
		v, ok := f.Figure(id)
		if want := !slices.Contains(gone, id) && !slices.Contains(tubeFigures, id); ok != want {
			t.Errorf("%s present %v (%g), want %v", Figures[id].Key, ok, v, want)
		}
	}
}

var (
	canopyFigures = []Figure{DeploySpeed, DeployHeight, DeployLate, OpeningForce, OpeningAcceleration, LineFactor}
	thrustFigures = []Figure{WaterTime, DrawnShare, GasTime, ThrustEndSpeed, ThrustEndHeight, ThrustEndLean}
	tubeFigures   = []Figure{TubeTime, TubeSpeed}
	guideFigures  = []Figure{GuideSpeed, GuideMargin, Margin, UnstableTime, PeakIncidence}
)

func TestWholeFlightHasAllFigures(t *testing.T) {
	f := altered(func(*Rocket, *Site) {})
	absent(t, &f)
	f = altered(func(r *Rocket, _ *Site) { r.Recovery.Line = 0 })
	absent(t, &f, LineFactor)
}

func TestBallisticLanding(t *testing.T) {
	f := altered(func(r *Rocket, _ *Site) { r.Recovery.Delay = 60 })
	absent(t, &f, canopyFigures...)
	under := altered(func(*Rocket, *Site) {})
	if hard, soft := figure(t, &f, LandingSpeed), figure(t, &under, LandingSpeed); hard < 5*soft {
		t.Errorf("ballistic landing at %g m/s, under the canopy at %g", hard, soft)
	}
	for _, id := range []Figure{Apogee, ApogeeTime, GuideSpeed, Impulse, PeakThrust} {
		near(t, Figures[id].Key, figure(t, &f, id), figure(t, &under, id), 1e-3)
	}
}

func TestOpeningUnderThrust(t *testing.T) {
	// In the water jet: 0.2 s after release, off the guide.
	f := altered(func(r *Rocket, _ *Site) { r.Recovery.Delay, r.Recovery.Latency = 0.2, 0 })
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	absent(t, &f, thrustFigures...)
	near(t, "deploy_late", figure(t, &f, DeployLate), 0.2-figure(t, &f, ApogeeTime), 1e-9)
	whole := altered(func(*Rocket, *Site) {})
	if some, all := figure(t, &f, Impulse), figure(t, &whole, Impulse); some <= 0 || some >= all {
		t.Errorf("impulse %g up to the opening, want less than the whole %g", some, all)
	}
	if figure(t, &f, DeployLate) >= 0 || figure(t, &f, DeployHeight) >= figure(t, &f, Apogee) {
		t.Errorf("opens %g s after apogee at %g of %g m", figure(t, &f, DeployLate), figure(t, &f, DeployHeight), figure(t, &f, Apogee))
	}
	// The water aboard comes down too: opening acceleration is on that mass.
	mass := figure(t, &f, OpeningForce) / figure(t, &f, OpeningAcceleration)
	if dry := figure(t, &f, DryMass); mass < dry+0.1 {
		t.Errorf("mass under the canopy %g, want the dry %g and the water left", mass, dry)
	}

	// In the gas jet: the water is out, the thrust is not over.
	f = altered(func(r *Rocket, _ *Site) { r.Recovery.Delay, r.Recovery.Latency = 0.5, 0 })
	absent(t, &f, thrustFigures[2:]...)
}

func TestOpeningOnTheGuide(t *testing.T) {
	f := altered(func(r *Rocket, _ *Site) { r.Recovery.Delay, r.Recovery.Latency = 0.02, 0 })
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	absent(t, &f, append(slices.Clone(thrustFigures), guideFigures...)...)
	if h := figure(t, &f, DeployHeight); h <= 0 || h > 1.5 {
		t.Errorf("opens at %g m, want on the guide of 1.5 m", h)
	}
}

// A delay of nothing opens on the pad, before it has moved.
func TestOpeningAtRelease(t *testing.T) {
	f := altered(func(r *Rocket, _ *Site) { r.Recovery.Delay, r.Recovery.Latency = 0, 0 })
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	if a := figure(t, &f, Apogee); a != 0 {
		t.Errorf("apogee %g, want 0", a)
	}
	if late := figure(t, &f, DeployLate); late != 0 {
		t.Errorf("deploy_late %g, want 0", late)
	}
}

// A rocket too heavy for its jet stands until enough water is out; the timer
// starts when it moves.
func TestHeldThenLiftsOff(t *testing.T) {
	r, s := carbon()
	r.Chamber.Pressure, r.Chamber.Fill, r.Chamber.Throat = 6e5, 0.2, 0.0042
	r.Recovery.Delay, s.Guide, s.Wind, s.Tilt = 0.7, 0.3, 0, 0
	f, path := Path(r, s, NewScratch())
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	var moved float64
	for _, p := range path {
		if p.X != 0 || p.Z != 0 {
			break
		}
		moved = p.T
		weight := p.Mass * 9.80665 * math.Cos(s.Tilt)
		if p.Thrust > weight*(1+1e-6) {
			t.Errorf("%g N of thrust against %g N of weight at %g s, and it stands", p.Thrust, weight, p.T)
		}
	}
	if moved < 0.05 {
		t.Fatalf("moves after %g s, want later than that", moved)
	}
	open := figure(t, &f, ApogeeTime) + figure(t, &f, DeployLate)
	near(t, "opening after first motion", open-moved, r.Recovery.Delay+r.Recovery.Latency, 1e-6)
	if felt := figure(t, &f, Acceleration); felt < 9.80665 {
		t.Errorf("felt %g m/s² at most, want at least what it felt on the guide", felt)
	}
}

// Gas too little for its water: the jet ends at ambient pressure and the rest
// stays aboard.
func TestWaterLeftAboard(t *testing.T) {
	r, s := carbon()
	r.Chamber.Fill, r.Chamber.Throat, s.Guide = 0.9, 0.016, 0.3
	f, path := Path(r, s, NewScratch())
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	if gas := figure(t, &f, GasTime); gas != 0 {
		t.Errorf("gas_time %g, want 0", gas)
	}
	mass := 2 * figure(t, &f, LandingEnergy) / math.Pow(figure(t, &f, TouchdownSpeed), 2)
	left := path[0].Mass
	for _, p := range path {
		if p.Phase == CoastPhase {
			left = p.Water
			break
		}
	}
	if left < 0.2e-3 {
		t.Fatalf("%g m³ left, want some", left)
	}
	charge := newVehicle(r, s).charge
	near(t, "mass at landing", mass, figure(t, &f, DryMass)+WaterDensity*left+charge.mass(), 1e-9)
}

// Two events that fall together, to less than the tolerance of locating them,
// both happen: the water runs out where the guide ends.
func TestEventsTogether(t *testing.T) {
	r, s := carbon()
	s.Guide = 100
	r.Recovery.Delay = 60
	sc := NewScratch()
	sc.tape.on, sc.tape.every = true, 1e9
	Fly(r, s, sc)
	var at Sample
	for _, p := range sc.tape.samples {
		if p.Phase == GasPhase {
			at = p
			break
		}
	}
	sc.tape.on = false
	distance := math.Hypot(at.X, at.Z)
	for i := range 400 {
		// ±2 µs of flight, both events within 1e-7 s for 40 of them.
		s.Guide = distance + at.Speed*(float64(i)-199.5)*1e-8
		f := Fly(r, s, sc)
		if f.Outcome != Landed {
			t.Fatalf("guide of %.9f m: %v", s.Guide, f.Outcome)
		}
		near(t, "water_time", figure(t, &f, WaterTime), at.T, 1e-5)
		near(t, "guide_speed", figure(t, &f, GuideSpeed), at.Speed, 1e-4)
		if gas := figure(t, &f, GasTime); gas < 0.1 {
			t.Errorf("guide of %.9f m: gas_time %g", s.Guide, gas)
		}
	}
}

// A rocket that is never stable is so for all of the ascent and not a moment
// longer, however late the canopy opens.
func TestUnstableAscent(t *testing.T) {
	r, s := carbon()
	r.Fins.Span, r.Recovery.Delay, s.Guide = 0.02, 60, 1
	sc := NewScratch()
	sc.tape.on, sc.tape.every = true, 1e9
	f := Fly(r, s, sc)
	if m := figure(t, &f, DryMargin); m > -0.1 {
		t.Fatalf("dry margin %g, want an unstable rocket", m)
	}
	exit := 0.0
	for _, p := range sc.tape.samples {
		if math.Hypot(p.X, p.Z) > 0.999*s.Guide {
			exit = p.T
			break
		}
	}
	near(t, "unstable_time", figure(t, &f, UnstableTime), figure(t, &f, ApogeeTime)-exit, 1e-5)
	if f.Warnings&IncidenceHigh == 0 {
		t.Error("an unstable rocket does not warn of its incidence")
	}
}

// Without a guide the rocket is free from the start.
func TestNoGuide(t *testing.T) {
	f := altered(func(_ *Rocket, s *Site) { s.Guide = 0 })
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	if v := figure(t, &f, GuideSpeed); v != 0 {
		t.Errorf("guide_speed %g, want 0", v)
	}
}

func TestNoWater(t *testing.T) {
	f := altered(func(r *Rocket, _ *Site) { r.Chamber.Fill = 0 })
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	absent(t, &f)
	if w := figure(t, &f, WaterTime); w != 0 {
		t.Errorf("water_time %g, want 0", w)
	}
}

// Keys are unique, found by name, and described.
func TestFigureInfo(t *testing.T) {
	for i, info := range Figures {
		if info.Key == "" || info.Unit == "" || info.Doc == "" {
			t.Errorf("figure %d: %+v", i, info)
		}
		if id, ok := FigureByKey(info.Key); !ok || id != Figure(i) {
			t.Errorf("FigureByKey(%q) = %v, %v, want %v", info.Key, id, ok, i)
		}
	}
	if _, ok := FigureByKey("height"); ok {
		t.Error("FigureByKey finds a key that is not there")
	}
	var f Flight
	if f.present != 0 || FigureCount > 64 {
		t.Errorf("%d figures do not fit the set", FigureCount)
	}
}
