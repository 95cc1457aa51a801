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

	// On the scale the sums stay visible beside what was weighed.
	r.Weighed = Weighed{Mass: 0.9, Balance: 0.8, Payload: 0.08}
	weighed, _ := Weigh(r, s)
	near(t, "weighed mass", weighed.DryMass, 0.9, 1e-12)
	near(t, "balance", weighed.DryCG, 0.8, 1e-12)
	near(t, "sums beside the scale", weighed.SummedMass, dry, 1e-12)
	near(t, "their centre", weighed.SummedCG, got.SummedCG, 1e-12)

	r.Chamber.Bore = 1
	if got, ok := Weigh(r, s); ok || got != (Statics{}) {
		t.Errorf("a bore of 1 m: %+v, %v, want nothing", got, ok)
	}
}

func TestPhaseNames(t *testing.T) {
	want := []string{"water", "gas", "coast", "canopy"}
	for i, name := range want {
		if got := Phase(i + 1).String(); got != name {
			t.Errorf("phase %d is %q, want %q", i+1, got, name)
		}
	}
}
