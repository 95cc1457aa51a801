package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"ullage/model/air"
)

// onTube is the fixture on a launch tube.
func onTube() (*Rocket, *Site) {
	r, s := carbon()
	r.Chamber.Tube = Tube{Diameter: 0.010, Length: 0.5}
	return r, s
}

// At constant pressure the tube does the work p A L: 500 kPa gauge on a tube of
// 20 mm push 0.65 kg up 0.3 m to √(2 L (p A/m − g)) = 11.7946 m/s [computed:
// work and energy]. Constant it is in the limit of a large chamber, and the mass
// with it where the gas weighs nothing: a vessel of 100 m³ full of very hot air.
func TestTubeAtConstantPressure(t *testing.T) {
	r, site := carbon()
	site.Tilt, site.Wind, r.Body.Drag = 0, 0, 0
	r.Chamber.Gas, r.Chamber.Tube, r.Chamber.Fill, r.Chamber.Pressure = Dry, Tube{0.020, 0.3}, 0, 500e3
	r.Chamber.Throat = 0.02
	s := NewScratch()
	s.reset(r, site)
	s.phase, s.guided = TubePhase, true
	v := &s.vehicle
	v.vessel.volume, v.water = 100, 0
	v.charge = newCharge(Dry, site.Pressure+500e3, 100, 1e9)
	v.dry.mass = 0.65 - v.charge.mass()
	y := make([]float64, ascentSize)
	y[gas] = 1e9
	at := integrate(t, y, func(y []float64) float64 { return s.level(tubeEnd, y) }, s.ascend)
	s.leaveTube(y, at)
	near(t, "tube_speed", figure(t, &s.flight, TubeSpeed), 11.7946, 5e-6) // half of the last digit
	near(t, "tube_time", at, 2*0.3/11.7946, 5e-6)
	near(t, "impulse", y[impulse], 0.65*(11.7946+air.Gravity*at), 5e-6)
}

// In a chamber of its own size the work is that of an adiabat, and the mass
// falls by the gas that fills the tube: between the speeds of the first mass
// and of the last.
func TestTubeWork(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 1))
	for range 30 {
		r, site := design(rng)
		site.Wind, site.Tilt, r.Body.Drag, r.Chamber.Gas = 0, 0, 1e-12, Dry
		r.Chamber.Tube = Tube{r.Chamber.Throat, 0.2 + 0.5*rng.Float64()}
		f := mustFly(t, r, site)
		v := newVehicle(r, site)
		p, v0 := site.Pressure+r.Chamber.Pressure, v.vessel.volume-v.water
		swept := v.tube * r.Chamber.Tube.Length
		work := p*v0/0.4*(1-math.Pow(v0/(v0+swept), 0.4)) - site.Pressure*swept
		speed := func(m float64) float64 {
			return math.Sqrt(2 * (work/m - air.Gravity*r.Chamber.Tube.Length))
		}
		heavy := figure(t, &f, LiftoffMass)
		light := heavy - v.charge.mass()*swept/(v0+swept)
		const ambient = 1e-5 // it falls by 6e-5 over the tube
		if got := figure(t, &f, TubeSpeed); got < speed(heavy)*(1-ambient) || got > speed(light)*(1+ambient) {
			t.Errorf("tube_speed %.6f, want %.6f to %.6f (%+v)", got, speed(heavy), speed(light), r.Chamber)
		}
		// What is left of the gas, by the mass that lands.
		mass := 2 * figure(t, &f, LandingEnergy) / math.Pow(figure(t, &f, TouchdownSpeed), 2)
		if mass > figure(t, &f, DryMass)+v.charge.mass()*v0/(v0+swept) {
			t.Errorf("%g kg land, more than the rocket and the gas that left with it", mass)
		}
	}
}

// The tube comes first, then water, gas and coast; its samples are marked, hold
// the water back, and carry the gas of the chamber alone.
func TestTubePath(t *testing.T) {
	r, site := onTube()
	f, path := Path(r, site, NewScratch())
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	v := newVehicle(r, site)
	last, n := TubePhase, 0
	for i, p := range path {
		if p.Phase < last {
			t.Errorf("%v after %v at %g s", p.Phase, last, p.T)
		}
		last = p.Phase
		if p.Phase != TubePhase {
			continue
		}
		n++
		on := math.Hypot(p.X, p.Z)
		near(t, "water on the tube", p.Water, v.water, 1e-15)
		free := v.vessel.volume - v.water
		near(t, "mass on the tube", p.Mass, v.dry.mass+WaterDensity*v.water+v.charge.mass()*free/(free+v.tube*on), 1e-9)
		near(t, "thrust on the tube", p.Thrust, (p.Pressure-v.air.Pressure(p.Z))*v.tube, 1e-9)
		if next := path[min(i+1, len(path)-1)]; next.Phase == WaterPhase {
			near(t, "length travelled", on, r.Chamber.Tube.Length, 1e-6)
			near(t, "tube_time", figure(t, &f, TubeTime), p.T, 1e-9)
			near(t, "tube_speed", figure(t, &f, TubeSpeed), p.Speed, 1e-9)
			near(t, "pressure at the end", next.Pressure, p.Pressure, 1e-9)
			near(t, "mass at the end", next.Mass, p.Mass, 1e-9)
		}
		if p.Phase == TubePhase && on > r.Chamber.Tube.Length+1e-6 {
			t.Errorf("on the tube %g m up, it is %g long", on, r.Chamber.Tube.Length)
		}
	}
	if n < 2 || path[0].Phase != TubePhase {
		t.Errorf("%d samples on the tube, the first in phase %v", n, path[0].Phase)
	}
	var jets float64
	for i := 1; i < len(path); i++ { // trapezia between samples a tenth of a second apart are coarse
		jets += (path[i].Thrust + path[i-1].Thrust) / 2 * (path[i].T - path[i-1].T)
	}
	near(t, "impulse", figure(t, &f, Impulse), jets, 0.05)
	out, _ := f.Figure(WaterTime)
	for i, p := range path {
		if p.Phase == GasPhase {
			near(t, "water_time", out, p.T-figure(t, &f, TubeTime), 1e-6)
			break
		}
		if i == len(path)-1 {
			t.Error("no gas phase")
		}
	}
}

// A tube saves water for a rocket already fast: more height. As its length goes
// to nothing the flight becomes that without one.
func TestTubeHelps(t *testing.T) {
	r, site := carbon()
	site.Wind, site.Tilt, r.Recovery.Delay = 0, 0, 60
	plain := mustFly(t, r, site)
	r.Chamber.Tube = Tube{0.010, 1e-7}
	stub := mustFly(t, r, site)
	for id := range Figure(FigureCount) {
		want, ok := plain.Figure(id)
		if got, has := stub.Figure(id); ok && (!has || offBy(id, got, want) > 1) {
			t.Errorf("%s on a tube of 0.1 um: %g, without %g", Figures[id].Key, got, want)
		}
	}
	last := figure(t, &plain, Apogee)
	for _, length := range []float64{0.2, 0.4, 0.6} {
		r.Chamber.Tube.Length = length
		f := mustFly(t, r, site)
		if a := figure(t, &f, Apogee); a <= last {
			t.Errorf("a tube of %g m: %g m, not above %g", length, a, last)
		} else {
			last = a
		}
	}
}

// The default tolerance keeps to its promise on a tube, whose flights allocate
// nothing and leave nothing behind in the scratch.
func TestTubeAccuracy(t *testing.T) {
	rng := rand.New(rand.NewPCG(42, 1))
	coarse, fine := NewScratch(), NewScratch()
	fine.Tolerance = 1e-11
	for i := range 60 {
		r, site := design(rng)
		bare := *r
		r.Chamber.Tube = Tube{r.Chamber.Throat * (0.7 + 0.3*rng.Float64()), 0.05 + 0.7*rng.Float64()}
		f, g := Fly(r, site, coarse), Fly(r, site, fine)
		if f.Outcome != g.Outcome || f.Outcome != Landed {
			t.Errorf("design %d: %v, want %v and landed", i, f.Outcome, g.Outcome)
		}
		for id := range Figure(FigureCount) {
			got, ok := f.Figure(id)
			want, has := g.Figure(id)
			if ok != has || has && offBy(id, got, want) > 1 {
				t.Errorf("design %d: %s = %.7g (%v), want %.7g (%v)", i, Figures[id].Key, got, ok, want, has)
			}
		}
		if after := Fly(&bare, site, coarse); after != Fly(&bare, site, NewScratch()) {
			t.Errorf("design %d: a flight after one on a tube differs from a fresh one", i)
		}
		if n := testing.AllocsPerRun(3, func() { Fly(r, site, coarse) }); n != 0 {
			t.Errorf("%v allocations a flight, want 0", n)
		}
	}
}

// What can end a flight while it is on the tube.
func TestEndsOnTheTube(t *testing.T) {
	// The canopy opens there.
	r, site := onTube()
	r.Recovery.Delay, r.Recovery.Latency = 0.02, 0
	f := mustFly(t, r, site)
	for _, id := range []Figure{TubeTime, TubeSpeed, WaterTime, GasTime, ThrustEndLean} {
		if v, ok := f.Figure(id); ok {
			t.Errorf("%s = %g of an opening on the tube, want none", Figures[id].Key, v)
		}
	}
	// The gas is spent: little of it, in a wide and long tube. The water stays.
	r, site = carbon()
	site.Guide, site.Tilt, site.Wind = 0.76, 0, 0
	r.Chamber.Pressure, r.Chamber.Fill, r.Chamber.Throat, r.Chamber.Tube = 1e5, 0.5, 0.08, Tube{0.079, 0.76}
	r.Parts, r.Payload.Mass = []Part{{"hull", 0.2, 0.7, 1}}, 0.01
	f = mustFly(t, r, site)
	if h := figure(t, &f, ThrustEndHeight); h <= 0 || h >= r.Chamber.Tube.Length {
		t.Errorf("thrust ends at %g m, want on the tube", h)
	}
	mass := 2 * figure(t, &f, LandingEnergy) / math.Pow(figure(t, &f, TouchdownSpeed), 2)
	if water := WaterDensity * 0.5 * figure(t, &f, Volume); mass < figure(t, &f, DryMass)+water {
		t.Errorf("%g kg land, want the water of %g kg aboard", mass, water)
	}
	if _, ok := f.Figure(TubeTime); ok || figure(t, &f, WaterTime) != 0 || figure(t, &f, GasTime) != 0 {
		t.Error("times of tube or jets that did not come")
	}
	r.Chamber.Pressure, r.Chamber.Fill = 0.5e5, 0.94
	if f := Fly(r, site, NewScratch()); f.Outcome != StuckOnGuide {
		t.Errorf("0.5 bar in 0.3 l under 4 kg: %v, want stuck_on_guide", f.Outcome)
	}
	// No water: from the tube straight to the gas jet.
	r, site = onTube()
	r.Chamber.Fill = 0
	f = mustFly(t, r, site)
	if w := figure(t, &f, WaterTime); w != 0 {
		t.Errorf("water_time %g, want 0", w)
	}
	// Tube and guide end together.
	r, site = onTube()
	site.Guide = r.Chamber.Tube.Length
	f = mustFly(t, r, site)
	near(t, "guide_speed", figure(t, &f, GuideSpeed), figure(t, &f, TubeSpeed), 1e-6)
}
