package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"ullage/model/air"
)

// stretched draws a rocket whose chamber grows by up to 20 %.
func stretched(rng *rand.Rand) (*Rocket, *Site) {
	r, site := design(rng)
	r.Chamber.Growth = 0.2 * rng.Float64() / r.Chamber.Pressure
	return r, site
}

// Dry gas keeps p V^1.4 while water leaves, V being that of the chamber as wide as
// the pressure makes it, with and without a launch tube.
func TestDryAdiabatInAGrowingChamber(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 1))
	for i := range 10 {
		r, site := stretched(rng)
		r.Chamber.Gas = Dry
		if i%2 == 1 {
			r.Chamber.Tube = Tube{r.Chamber.Throat, 0.5}
		}
		_, path := Path(r, site, NewScratch())
		v := newVehicle(r, site)
		constant, n := map[Phase]float64{}, 0
		for _, p := range path {
			if p.Phase > WaterPhase {
				break
			}
			volume := v.vessel.volume*(1+r.Chamber.Growth*(p.Pressure-site.Pressure)) - p.Water
			if p.Phase == TubePhase {
				volume += v.tube * math.Hypot(p.X, p.Z)
			}
			c := p.Pressure * math.Pow(volume, gamma)
			if constant[p.Phase] == 0 {
				constant[p.Phase] = c
			}
			near(t, "p V^1.4", c, constant[p.Phase], 1e-5) // the tolerance of the integrator
			n++
		}
		if n < 5 {
			t.Errorf("%d samples with water", n)
		}
	}
}

// The gas jet of a chamber that shrinks with its pressure, as the textbook
// integrates it: mass and temperature, the wall's work on the gas included.
func TestBlowdownOfAGrowingChamber(t *testing.T) {
	r, site := carbon()
	r.Chamber.Growth = 0.2 / r.Chamber.Pressure
	s := NewScratch()
	s.reset(r, site)
	v := &s.vehicle
	const temp0, gauge0 = 270.0, 9e5
	p0, room0 := site.Pressure+gauge0, v.vessel.volume+v.give*gauge0
	m0 := p0 * room0 / (air.GasConstant * temp0)
	y := make([]float64, ascentSize)
	s.guided, s.held = true, true // at rest, so that ambient pressure stays
	v.charge.dry, v.charge.moist = m0, false
	y[gas] = temp0
	s.enterGas(y, 0)
	end := integrate(t, y, func(y []float64) float64 { return s.level(thrustOver, y) }, s.ascend)

	plain := []float64{m0, temp0}
	pressure := func(y []float64) float64 { // p (V₀ + give (p − p_a0)) = m R T
		b := v.vessel.volume - v.give*site.Pressure
		return (math.Sqrt(b*b+4*v.give*y[0]*air.GasConstant*y[1]) - b) / (2 * v.give)
	}
	after := integrate(t, plain, func(y []float64) float64 { return pressure(y) - thrustEnd*site.Pressure },
		func(y, dydt []float64) {
			p := pressure(y)
			flow, _ := gasJet(p, y[1], site.Pressure, v.gasJet)
			room := v.vessel.volume + v.give*(p-site.Pressure)
			dp := -gamma * air.GasConstant * y[1] * flow / (room + gamma*p*v.give)
			dydt[0] = -flow
			dydt[1] = (-air.GasConstant*y[1]*flow - p*v.give*dp) / (y[0] * airCv)
		})
	near(t, "duration", end, after, 1e-7)
	near(t, "gas left", s.gasLeft(y), plain[0], 1e-8)
}

// A wall that hardly stretches is one that does not.
func TestNoGrowth(t *testing.T) {
	rng := rand.New(rand.NewPCG(62, 1))
	for range 10 {
		r, site := design(rng)
		r.Recovery.Delay = 4
		stiff := mustFly(t, r, site)
		r.Chamber.Growth = 1e-9 / r.Chamber.Pressure
		soft := mustFly(t, r, site)
		for _, id := range []Figure{Apogee, WaterTime, GasTime, Impulse, LiftoffMass, DrawnShare} {
			near(t, Figures[id].Key, figure(t, &soft, id), figure(t, &stiff, id), 1e-5)
		}
	}
}

// A bottle of PET grows by some 0.8 % a bar (invented, of the order that users
// report): 4 % at 5 bar, which adds about as much of height.
func TestGrowthOfABottle(t *testing.T) {
	apogee := func(growth float64) float64 {
		f := altered(func(r *Rocket, s *Site) {
			s.Wind, s.Tilt = 0, 0
			r.Chamber.Cylinder, r.Chamber.Pressure, r.Chamber.Throat, r.Chamber.Growth = 0.28, 5e5, 0.0217, growth
			r.Parts = []Part{{"bottle and bay", 0.25, 0.8, 0.8}}
			r.Payload.Mass, r.Recovery.Delay = 0, 60
		})
		return figure(t, &f, Apogee)
	}
	if gain := apogee(0.008/1e5)/apogee(0) - 1; gain < 0.03 || gain > 0.07 {
		t.Errorf("a chamber that grows by 4 %% goes %.1f %% higher, want 3 to 7", 100*gain)
	}
}

// The stored energy counts the stretched gas volume and the wall: by hand for
// 10 bar of 4 l that grow by a tenth.
func TestStoredEnergyOfAWall(t *testing.T) {
	r, site := carbon()
	r.Chamber.Pressure, r.Chamber.Volume, r.Chamber.Fill, r.Chamber.Growth = 10e5, 4e-3, 0.25, 0.1/10e5
	st, ok := Weigh(r, site)
	if !ok {
		t.Fatal("no statics")
	}
	gasVolume := 4.4e-3 - 1e-3
	gas := 1.0998e6 * gasVolume / 0.4 * (1 - math.Pow(99800/1.0998e6, 2./7))
	near(t, "stored energy", st.StoredEnergy, gas+4e-3*0.1*10e5/2, 1e-12)
}

// Warmer gas at the same pressure is less of it; a temperature that is not given
// is the air's, to the bit.
func TestGasTemperature(t *testing.T) {
	warm, site := carbon()
	warm.Chamber.GasTemperature, warm.Chamber.Gas = 1.1*site.Temperature, Dry
	cold := *warm
	cold.Chamber.GasTemperature = 0
	a, b := newVehicle(warm, site), newVehicle(&cold, site)
	near(t, "gas", a.charge.mass(), b.charge.mass()/1.1, 1e-12)
	_, path := Path(warm, site, NewScratch())
	near(t, "pressure at release", path[0].Pressure, site.Pressure+warm.Chamber.Pressure, 1e-12)
	given := cold
	given.Chamber.GasTemperature = site.Temperature
	if f, g := mustFly(t, &cold, site), mustFly(t, &given, site); f != g {
		t.Errorf("the air's temperature given is another flight: %+v, want %+v", g, f)
	}
}

// No wall grows by more than a quarter.
func TestMostGrowth(t *testing.T) {
	for growth, want := range map[float64]Outcome{0.25: Landed, 0.2501: NoRoom, -1e-9: NoRoom} {
		f := altered(func(r *Rocket, _ *Site) { r.Chamber.Growth = growth / r.Chamber.Pressure })
		if f.Outcome != want {
			t.Errorf("growth by %g: %v, want %v", growth, f.Outcome, want)
		}
	}
}
