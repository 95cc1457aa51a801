package model

import (
	"math"
	"testing"
)

// windward flies a rocket with ballast in its nose and an upright guide, without
// a canopy, in calm air and in a wind of 6 m/s.
func windward(t *testing.T, span, throat, guide float64) (calm, windy Flight) {
	t.Helper()
	r, s := carbon()
	r.Fins.Span, r.Chamber.Throat, r.Chamber.Fill, r.Ballast.Mass = span, throat, 0.2, 0.2
	s.Tilt, s.Guide, s.Wind = 0, guide, 0
	sc := NewScratch()
	calm = Bare(r, s, sc)
	s.Wind = 6
	windy = Bare(r, s, sc)
	if calm.Outcome != Landed || windy.Outcome != Landed {
		t.Fatalf("%v in calm air, %v in wind", calm.Outcome, windy.Outcome)
	}
	return calm, windy
}

// Wind turns a rocket that leaves the guide slowly into itself, the more so the
// more stable it is: it leans upwind, loses height against its flight in calm
// air, and comes down upwind.
func TestOverstableAndSlowLeansMore(t *testing.T) {
	lean, loss, drift, margin := math.Inf(1), 0.0, math.Inf(1), 0.0
	for _, span := range []float64{0.11, 0.15, 0.18, 0.25} {
		calm, windy := windward(t, span, 0.006, 1.5)
		nextLean, nextDrift := figure(t, &windy, ThrustEndLean), figure(t, &windy, Drift)
		nextLoss := 1 - figure(t, &windy, Apogee)/figure(t, &calm, Apogee)
		if m := figure(t, &windy, Margin); m <= margin {
			t.Errorf("span %g: margin %g, want above %g", span, m, margin)
		} else {
			margin = m
		}
		if nextLean >= lean || nextLean > -0.1 || nextLoss <= loss || nextDrift >= drift || nextDrift > -10 {
			t.Errorf("span %g: lean %.3f rad, %.2f %% of the apogee lost, drift %.1f m; with smaller fins %.3f, %.2f, %.1f",
				span, nextLean, 100*nextLoss, nextDrift, lean, 100*loss, drift)
		}
		lean, loss, drift = nextLean, nextLoss, nextDrift
	}
	// The same rocket, quicker off the guide by a larger throat, hardly leans.
	for _, span := range []float64{0.11, 0.18, 0.25} {
		_, slow := windward(t, span, 0.006, 1.5)
		calm, quick := windward(t, span, 0.011, 1.5)
		if a, b := figure(t, &slow, GuideSpeed), figure(t, &quick, GuideSpeed); a > b/1.8 {
			t.Errorf("span %g: %g m/s off the guide, want much less than %g", span, a, b)
		}
		if a, b := figure(t, &slow, ThrustEndLean), figure(t, &quick, ThrustEndLean); b > 0 || a > 5*b {
			t.Errorf("span %g: lean %g, want upwind and over 5 times the %g of the quick one", span, a, b)
		}
		if a, b := figure(t, &slow, Drift), figure(t, &quick, Drift); a > b-15 {
			t.Errorf("span %g: drift %g, want farther upwind than the %g of the quick one", span, a, b)
		}
		if loss := 1 - figure(t, &quick, Apogee)/figure(t, &calm, Apogee); loss > 0.01 {
			t.Errorf("span %g: a quick rocket loses %g of its apogee to wind", span, loss)
		}
	}
	// A shorter guide lets go sooner.
	_, short := windward(t, 0.25, 0.006, 0.3)
	_, long := windward(t, 0.25, 0.006, 1.5)
	if a, b := figure(t, &short, ThrustEndLean), figure(t, &long, ThrustEndLean); a >= b {
		t.Errorf("lean %g off a short guide, %g off a long one", a, b)
	}
}
