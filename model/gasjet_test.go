package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"ullage/model/air"
)

// emptied returns the impulse, in N s, of a chamber's gas that runs out in still
// surroundings through a jet of the given area, in m².
func emptied(t *testing.T, area float64) float64 {
	t.Helper()
	const volume, p0, t0, pa = 4.5e-3, 9e5, 270.0, 101325.0
	y := []float64{p0 * volume / (air.GasConstant * t0), t0, 0} // gas, temperature, impulse
	pressure := func(y []float64) float64 { return y[0] * air.GasConstant * y[1] / volume }
	integrate(t, y, func(y []float64) float64 { return pressure(y) - thrustEnd*pa }, func(y, dydt []float64) {
		flow, thrust := gasJet(pressure(y), y[1], pa, area)
		dydt[0], dydt[1], dydt[2] = -flow, -(gamma-1)*y[1]*flow/y[0], thrust
	})
	return y[2]
}

// A coefficient that narrows the jet makes it last longer and nothing else: the
// impulse in still surroundings does not depend on it.
func TestImpulseKnowsNoGasJet(t *testing.T) {
	want := emptied(t, 1e-4)
	for _, c := range []float64{0.3, 0.6, 0.85, 0.95} {
		near(t, "impulse", emptied(t, c*1e-4), want, 1e-8)
	}
}

// At a given state of gas and air thrust and flow go with the area of the jet.
func TestThrustGoesWithGasJet(t *testing.T) {
	const pa, area = 1e5, 1e-4
	for _, ratio := range []float64{1.05, 1.5, criticalRatio, 3, 12} {
		flow, thrust := gasJet(ratio*pa, 260, pa, area)
		for _, c := range []float64{0.3, 0.85, 0.95} {
			less, weaker := gasJet(ratio*pa, 260, pa, c*area)
			near(t, "flow", less, c*flow, 1e-14)
			near(t, "thrust", weaker, c*thrust, 1e-14)
		}
	}
}

// The factor on the gas's thrust multiplies just that: the impulse of the water
// stays, that of the gas goes with it, and gas leaves as fast as before.
func TestGasThrust(t *testing.T) {
	flown := func(factor float64) (water, gas, duration float64) {
		f := altered(func(r *Rocket, s *Site) {
			r.Chamber.GasThrust, r.Recovery.Delay, s.Wind, s.Tilt = factor, 60, 0, 0
		})
		r, s := carbon()
		r.Chamber.GasThrust, r.Recovery.Delay, s.Wind, s.Tilt = factor, 60, 0, 0
		_, path := PathAt(nil, r, s, []float64{figure(t, &f, WaterTime)}, NewScratch())
		return path[0].Impulse, figure(t, &f, Impulse) - path[0].Impulse, figure(t, &f, GasTime)
	}
	water, gas, duration := flown(1)
	for _, factor := range []float64{1e-9, 0.5, 1.3} {
		w, g, d := flown(factor)
		near(t, "impulse of the water", w, water, 1e-6)
		// The air thins a little with the height that thrust wins: 1e-3 of it.
		if math.Abs(g-factor*gas) > 2e-3*gas {
			t.Errorf("factor %g: %g N s of gas, want %g", factor, g, factor*gas)
		}
		near(t, "duration", d, duration, 5e-3)
	}
}

// A better jet and more pressure take a rocket higher. With the coefficient the
// jet is over sooner, while the rocket is slower: that may cost a little, and
// must not gain as a narrower one once did, by 1.7 %.
func TestApogeeRisesWithJets(t *testing.T) {
	const rises = 1
	upright := func(r *Rocket, s *Site) { s.Wind, s.Tilt, r.Recovery.Delay = 0, 0, 60 }
	trend(t, "better jet", Apogee, rises, 20, func(r *Rocket, s *Site, i int) {
		upright(r, s)
		r.Chamber.Jet = 0.9 + 0.1*float64(i)/7
	})
	trend(t, "more thrust of the gas", Apogee, rises, 20, func(r *Rocket, s *Site, i int) {
		upright(r, s)
		r.Chamber.GasThrust = 0.5 + float64(i)/7
	})
	rng := rand.New(rand.NewPCG(41, 1))
	for range 20 {
		r, s := design(rng)
		upright(r, s)
		wide := mustFly(t, r, s)
		r.Chamber.GasJet = 0.85
		narrow := mustFly(t, r, s)
		if a, b := figure(t, &narrow, Apogee), figure(t, &wide, Apogee); a > 1.003*b {
			t.Errorf("a gas jet of 0.85 goes to %g m, one of 0.95 to %g", a, b)
		}
	}
}

// The numbers of a choked throat are those of their formulas: NACA Report 1135
// (1953), for γ = 1.4.
func TestChokedNumbers(t *testing.T) {
	const half = (gamma + 1) / 2.0
	near(t, "critical ratio", criticalRatio, math.Pow(half, gamma/(gamma-1)), 1e-15)
	near(t, "critical root", criticalRoot, math.Pow(criticalRatio, 1.0/7), 1e-15)
	near(t, "choked drive", chokedDrive, math.Sqrt(criticalRoot*criticalRoot-1), 1e-14)
	near(t, "choked flow", chokedFlow, math.Sqrt(gamma)*math.Pow(1/half, (gamma+1)/(2*(gamma-1))), 1e-15)
	near(t, "choked exit", chokedExit, 1/criticalRatio, 1e-15)
	near(t, "throat temperature", throatTemp, 1/half, 1e-15)
	near(t, "drive at the end of thrust", endDrive, math.Pow(thrustEnd, 2.0/7)-1, 1e-12)
	// The report's table 1 at Mach 1, as many digits as it prints.
	near(t, "p*/p", chokedExit, 0.5283, 1e-4)
	near(t, "T*/T", throatTemp, 0.8333, 1e-4)
}
