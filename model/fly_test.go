package model

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// carbon is a 4.5 l composite rocket at 15 bar.
func carbon() (*Rocket, *Site) {
	r := &Rocket{
		Body: Body{
			Diameter: 0.090, Length: 1.36, Roughness: 20e-6, Drag: 1,
			Nose: Nose{Ogive, 0.24}, Tail: Tail{0.075, 0.03},
		},
		Chamber: Chamber{
			Bore: 0.087, Cylinder: 0.690, End: 0.0435, Pressure: 15e5, Proof: 22.5e5, Throat: 0.011,
			Fill: 0.3, Gas: Moist, Jet: 0.97, Contraction: 1, GasJet: 0.95, GasThrust: 1,
		},
		Fins: Fins{
			Count: 3, Root: 0.13, Tip: 0.07, Span: 0.13, Rake: 0.06, Thickness: 0.002, Station: 1.185,
			Density: 1600, ShearModulus: 3.5e9, Edges: Radiused, Fillets: 0.009,
		},
		Parts: []Part{
			{"pressure chamber", 0.42, 0.96, 0.777},
			{"payload bay", 0.16, 0.36, 0.25},
			{"canopy and line", 0.05, 0.22, 0},
		},
		Payload:  Part{"payload", 0.08, 0.25, 0},
		Ballast:  Part{"ballast", 0, 0.06, 0},
		Recovery: Recovery{Canopy: 0.95, Drag: 0.75, Delay: 5.2, Latency: 0.3, Line: 400},
	}
	s := &Site{
		Temperature: 290.15, Pressure: 99800, Humidity: 0.55, Wind: 3, WindExponent: 0.143,
		Guide: 1.5, Tilt: 2 * math.Pi / 180,
	}
	return r, s
}

func mustFly(t *testing.T, r *Rocket, s *Site) Flight {
	t.Helper()
	f := Fly(r, s, NewScratch())
	if f.Outcome != Landed {
		t.Fatalf("outcome %v, want landed", f.Outcome)
	}
	return f
}

func figure(t *testing.T, f *Flight, id Figure) float64 {
	t.Helper()
	v, ok := f.Figure(id)
	if !ok {
		t.Fatalf("%s is absent", Figures[id].Key)
	}
	return v
}

// design draws a rocket from the ranges a search of the fixture would vary.
func design(rng *rand.Rand) (*Rocket, *Site) {
	r, s := carbon()
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	r.Fins.Span = between(0.08, 0.18)
	r.Chamber.Throat = between(0.006, 0.016)
	r.Chamber.Fill = between(0.12, 0.45)
	r.Payload.Mass = between(0.04, 0.24)
	r.Recovery.Delay = between(4, 8)
	s.Wind = between(0, 8)
	s.Tilt = between(0, 6) * math.Pi / 180
	return r, s
}

// A flight is a function of its arguments: a scratch that has flown anything
// else gives the same bits.
func TestFlyIsPure(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	dirty := NewScratch()
	for range 50 {
		r, s := design(rng)
		want := Fly(r, s, NewScratch())
		other, site := design(rng)
		site.WindExponent, site.Temperature = rng.Float64(), 270+30*rng.Float64()
		other.Recovery.Delay, other.Chamber.Fill = 40, 0.9
		Fly(other, site, dirty)
		broken := *r
		broken.Chamber.Jet = math.NaN()
		Fly(&broken, site, dirty)
		Path(other, site, dirty)
		if got := Fly(r, s, dirty); got != want {
			t.Fatalf("with a used scratch %+v, want %+v", got, want)
		}
	}
}

// Fly keeps nothing of its arguments and changes nothing in them.
func TestFlyReadsOnly(t *testing.T) {
	r, s := carbon()
	before, site := *r, *s
	parts := slices.Clone(r.Parts)
	mustFly(t, r, s)
	before.Parts, r.Parts = nil, slices.Clone(r.Parts)
	if !slices.Equal(r.Parts, parts) || *s != site {
		t.Errorf("the flight changed its rocket or site")
	}
	r.Parts = nil
	if !reflect.DeepEqual(*r, before) {
		t.Errorf("the flight changed its rocket: %+v, want %+v", *r, before)
	}
}

func TestFlyAllocatesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	for range 5 {
		r, s := design(rng)
		sc := NewScratch()
		if n := testing.AllocsPerRun(10, func() { Fly(r, s, sc) }); n != 0 {
			t.Errorf("%v allocations a flight, want 0", n)
		}
	}
}

// The figures that hang together.
func TestFiguresAgree(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1))
	for range 50 {
		r, s := design(rng)
		f := mustFly(t, r, s)
		get := func(id Figure) float64 { return figure(t, &f, id) }
		near(t, "deploy_late", get(DeployLate), r.Recovery.Delay+r.Recovery.Latency-get(ApogeeTime), 1e-9)
		near(t, "line_factor", get(LineFactor), r.Recovery.Line/get(OpeningForce), 1e-12)
		near(t, "proof_ratio", get(ProofRatio), r.Chamber.Proof/r.Chamber.Pressure, 1e-12)
		statics, ok := Weigh(r, s)
		if !ok {
			t.Fatal("no statics")
		}
		near(t, "liftoff_mass", get(LiftoffMass), statics.LiftoffMass, 1e-12)
		near(t, "liftoff_mass", get(LiftoffMass), statics.DryMass+statics.WaterMass+statics.GasMass, 1e-12)
		near(t, "dry_mass", get(DryMass), statics.DryMass, 1e-12)
		near(t, "dry_margin", get(DryMargin), statics.DryMargin, 1e-12)
		near(t, "volume", get(Volume), statics.Volume, 1e-12)
		mass := get(OpeningForce) / get(OpeningAcceleration)
		near(t, "landing_energy", get(LandingEnergy), mass*get(TouchdownSpeed)*get(TouchdownSpeed)/2, 1e-12)
		for _, c := range []struct{ small, large Figure }{
			{LandingSpeed, TouchdownSpeed},
			{Margin, GuideMargin},
			{DeployHeight, Apogee},
			{ThrustEndSpeed, MaxSpeed},
			{GuideSpeed, MaxSpeed},
			{WaterTime, ApogeeTime},
			{ApogeeTime, FlightTime},
			{DryMass, LiftoffMass},
		} {
			if get(c.small) > get(c.large)+1e-9 {
				t.Errorf("%s %g above %s %g", Figures[c.small].Key, get(c.small), Figures[c.large].Key, get(c.large))
			}
		}
		if m := get(DryMass); mass < m || mass > m+0.02 {
			t.Errorf("mass under the canopy %g, want dry mass %g and some gas", mass, m)
		}
	}
}

func BenchmarkFly(b *testing.B) {
	r, s := carbon()
	sc := NewScratch()
	b.ReportAllocs()
	for b.Loop() {
		Fly(r, s, sc)
	}
}

// BenchmarkDesigns flies the designs that a search would draw: their flights
// differ in length and phases.
func BenchmarkDesigns(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	var rockets [64]*Rocket
	var sites [64]*Site
	for i := range rockets {
		rockets[i], sites[i] = design(rng)
	}
	sc := NewScratch()
	flights, evaluations := 0, 0
	b.ReportAllocs()
	for b.Loop() {
		f := Fly(rockets[flights%64], sites[flights%64], sc)
		evaluations += f.Evaluations
		flights++
	}
	b.ReportMetric(float64(evaluations)/float64(flights), "evaluations/op")
}
