package model

import (
	"math"
	"testing"
)

// The statics of the fixture by hand, from its table of parts.
func TestWeigh(t *testing.T) {
	r, s := carbon()
	got, ok := Weigh(r, s)
	if !ok {
		t.Fatal("the fixture does not fit")
	}
	fins := 3*0.13*(0.13+0.07)/2*0.002*1600 + 0.009
	dry := 0.42 + 0.16 + 0.05 + 0.08 + fins
	near(t, "fin mass", got.FinMass, fins, 1e-12)
	near(t, "dry mass", got.DryMass, dry, 1e-12)
	volume := math.Pi / 4 * 0.087 * 0.087 * (0.690 + 2./3*0.087)
	near(t, "volume", got.Volume, volume, 1e-12)
	near(t, "water", got.WaterMass, 998.2*0.3*volume, 1e-12)
	// p V/(R T), but for the vapour, which is lighter than air: 0.1 %.
	near(t, "gas", got.GasMass, 15.998e5*0.7*volume/(287.05287*290.15), 1e-3)
	near(t, "lift-off mass", got.LiftoffMass, got.DryMass+got.WaterMass+got.GasMass, 1e-12)
	near(t, "margin", got.DryMargin, (got.CP-got.DryCG)/0.090, 1e-12)
	near(t, "margin at release", got.WetMargin, (got.CP-got.LiftoffCG)/0.090, 1e-12)
	near(t, "proof ratio", got.ProofRatio, 1.5, 1e-12)
	near(t, "stored energy", got.StoredEnergy, 15.998e5*0.7*volume/0.4*(1-math.Pow(0.998/15.998, 2./7)), 1e-12)
	near(t, "sums", got.SummedMass, dry, 1e-12)
	near(t, "centre of the sums", got.SummedCG, got.DryCG, 1e-12)

	r.Chamber.Bore = 1
	if got, ok := Weigh(r, s); ok || got != (Statics{}) {
		t.Errorf("a bore of 1 m: %+v, %v, want nothing", got, ok)
	}
}

// On the scale the sums stay visible beside what was weighed.
func TestSumsBesideTheScale(t *testing.T) {
	r, s := carbon()
	got, _ := Weigh(r, s)
	r.Weighed = Weighed{Mass: 0.9, Balance: 0.8, Payload: 0.08}
	weighed, _ := Weigh(r, s)
	near(t, "weighed mass", weighed.DryMass, 0.9, 1e-12)
	near(t, "balance", weighed.DryCG, 0.8, 1e-12)
	near(t, "sums beside the scale", weighed.SummedMass, got.SummedMass, 1e-12)
	near(t, "their centre", weighed.SummedCG, got.SummedCG, 1e-12)
	if got.Weighed || got.Correction != (Part{}) || !weighed.Weighed {
		t.Errorf("weighed %v, then %v; correction %+v without a scale", got.Weighed, weighed.Weighed, got.Correction)
	}
}

// The rocket with its correction as a part is the weighed one; there is none where the
// scale tells nothing of a part.
func TestCorrection(t *testing.T) {
	r, s := carbon()
	got, _ := Weigh(r, s)
	for _, c := range []struct {
		mass, station float64
		sensible      bool
	}{{0.027, 1.02, true}, {-0.04, 0.5, true}, {0.001, 1.5, false}, {0.001, -0.2, false}} {
		r.Weighed = Weighed{}
		r.Parts = append(r.Parts[:3:3], Part{"tape", c.mass, c.station, 0})
		with, _ := Weigh(r, s)
		r.Parts = r.Parts[:3]
		r.Weighed = Weighed{Mass: with.DryMass, Balance: with.DryCG, Payload: 0.08}
		r.Payload.Mass = 0.12 // a later change of the payload corrects nothing
		weighed, _ := Weigh(r, s)
		r.Payload.Mass = 0.08
		if !c.sensible {
			if weighed.Correction != (Part{}) {
				t.Errorf("correction %+v, want none outside the body", weighed.Correction)
			}
			continue
		}
		near(t, "correction", weighed.Correction.Mass, c.mass, 1e-10)
		near(t, "its station", weighed.Correction.Station, c.station, 1e-10)
	}
	r.Weighed = Weighed{Mass: got.DryMass * (1 + 1e-15), Balance: got.DryCG, Payload: 0.08}
	if weighed, _ := Weigh(r, s); weighed.Correction != (Part{}) {
		t.Errorf("correction %+v, want none of a last digit", weighed.Correction)
	}
	same := Weighed{Mass: got.DryMass, Balance: got.DryCG + 0.01, Payload: 0.08}
	r.Weighed = same
	if weighed, _ := Weigh(r, s); weighed.Correction != (Part{}) {
		t.Errorf("correction %+v, want none where only the balance differs", weighed.Correction)
	}
}

// A measured volume leaves the sum visible and scales every section alike; a
// neck moves the chamber and its water forward, and nothing else.
func TestMeasuredVolumeAndNeck(t *testing.T) {
	r, s := carbon()
	summed, _ := Weigh(r, s)
	if summed.Volume != summed.SummedVolume {
		t.Errorf("volume %v, summed %v, want the same bits where nothing was measured", summed.Volume, summed.SummedVolume)
	}
	r.Chamber.Volume = 0.95 * summed.Volume
	measured, _ := Weigh(r, s)
	near(t, "volume", measured.Volume, 0.95*summed.Volume, 1e-12)
	near(t, "summed volume", measured.SummedVolume, summed.Volume, 1e-15)
	near(t, "water", measured.WaterMass, 0.95*summed.WaterMass, 1e-12)
	near(t, "stored energy", measured.StoredEnergy, 0.95*summed.StoredEnergy, 1e-12)
	a, b := newVehicle(r, s).vessel, newVessel(&Chamber{Bore: r.Chamber.Bore, Cylinder: r.Chamber.Cylinder, End: r.Chamber.End})
	for _, share := range []float64{0.01, 0.3, 0.99} {
		h1, m1 := a.level(share * a.volume)
		h2, m2 := b.level(share * b.volume)
		near(t, "height of the surface", h1, h2, 1e-12)
		near(t, "centroid", m1/a.volume, m2/b.volume, 1e-12)
	}

	r.Chamber.Volume, r.Chamber.Neck = 0, 0.03
	necked, _ := Weigh(r, s)
	if necked.Volume != summed.Volume || necked.CP != summed.CP || necked.DryCG != summed.DryCG {
		t.Errorf("a neck changes volume, CP or the empty CG: %+v, want %+v", necked, summed)
	}
	inside := summed.WaterMass + summed.GasMass
	near(t, "CG at release", necked.LiftoffCG, summed.LiftoffCG-0.03*inside/summed.LiftoffMass, 1e-12)
}

// The fixture's cylinder ends 43.5 mm ahead of the exit, its root 45 mm.
func TestRootOverCylinder(t *testing.T) {
	for _, c := range []struct {
		name       string
		change     func(r *Rocket)
		ahead, aft float64 // m
	}{
		{"on the cylinder", func(*Rocket) {}, -0.5585, -0.0015},
		{"10 mm aft", func(r *Rocket) { r.Fins.Station += 0.01 }, -0.5685, 0.0085},
		{"ahead of the chamber", func(r *Rocket) { r.Fins.Station = 0.6 }, 0.0265, -0.5865},
		{"a neck", func(r *Rocket) { r.Chamber.Neck = 0.02 }, -0.5785, 0.0185},
		{"a long tail", func(r *Rocket) { r.Body.Tail.Length = 0.1 }, -0.5585, 0.055},
	} {
		r, s := carbon()
		c.change(r)
		got, ok := Weigh(r, s)
		if !ok || math.Abs(got.RootAhead-c.ahead) > 1e-12 || math.Abs(got.RootAft-c.aft) > 1e-12 {
			t.Errorf("%s: root %g m ahead and %g m aft of the cylinder, want %g and %g", c.name, got.RootAhead, got.RootAft, c.ahead, c.aft)
		}
	}
}

func TestPhaseNames(t *testing.T) {
	want := []string{"tube", "water", "gas", "coast", "canopy"}
	for i, name := range want {
		if got := Phase(i + 1).String(); got != name {
			t.Errorf("phase %d is %q, want %q", i+1, got, name)
		}
	}
}
