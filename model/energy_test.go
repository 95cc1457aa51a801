package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"ullage/model/air"
)

// audit flies the water jet of r off the guide with three more states: the
// energy of the expelled water, the work of the gas on the water, and the
// power of the jet as the quasi-steady model has it. It returns these and what
// rocket and water aboard gained, in J.
func audit(t *testing.T, r *Rocket, site *Site) (expelled, work, jet, gained float64) {
	t.Helper()
	s := NewScratch()
	s.reset(r, site)
	s.phase = WaterPhase
	v := &s.vehicle
	const water0, work0, jet0 = ascentSize, ascentSize + 1, ascentSize + 2
	y := make([]float64, ascentSize+3)
	y[pitch], y[water], y[gas] = v.lean, v.water, site.Temperature
	integrate(t, y, func(y []float64) float64 { return y[water] }, func(y, dydt []float64) {
		s.ascend(y[:ascentSize], dydt[:ascentSize])
		q := -dydt[water]
		u := q / v.stream
		sin, cos := math.Sincos(y[pitch])
		wx, wz := y[vAlong]-u*sin, y[vHeight]-u*cos
		dydt[water0] = WaterDensity * q * ((wx*wx+wz*wz)/2 + air.Gravity*y[height])
		dydt[work0] = q * (s.now.pressure - s.now.ambient)
		dydt[jet0] = WaterDensity * q * u * u / 2
	})
	h, _ := v.heft(y[water], v.charge.mass())
	speed2 := y[vAlong]*y[vAlong] + y[vHeight]*y[vHeight]
	gained = h.mass*(speed2/2+air.Gravity*y[height]) + h.inertia*y[spin]*y[spin]/2
	return y[water0], y[work0], y[jet0], gained
}

// Without drag the jet's power goes into rocket and water to the last digit;
// it is the gas's work times the square of the jet's coefficient, less the
// share that brings the water to the throat.
func TestEnergyWithoutDrag(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	for i := range 20 {
		r, site := design(rng)
		site.Wind, site.Tilt, r.Body.Drag = 0, 0, 0
		r.Chamber.Gas = Moist + Gas(i%2)
		expelled, work, jet, gained := audit(t, r, site)
		near(t, "energy of rocket and water", expelled+gained, jet, 1e-7)
		ratio := math.Pow(r.Chamber.Throat/r.Chamber.Bore, 4)
		near(t, "jet energy", jet, work/(1/(0.97*0.97)-ratio), 1e-9)
	}
}

// With drag, wind and tilt it can only be less than the work of the gas. The
// wind's own work is allowed for: it cannot exceed the drag of the rocket
// standing in it, a joule here.
func TestEnergyAudit(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	for range 40 {
		r, site := design(rng)
		site.Wind = 0
		expelled, work, _, gained := audit(t, r, site)
		if expelled+gained > work {
			t.Errorf("rocket and water gained %.2f J, the gas gave %.2f (%+v)", expelled+gained, work, r.Chamber)
		}
		if expelled+gained < 0.7*work {
			t.Errorf("rocket and water gained %.2f J of the gas's %.2f: too little", expelled+gained, work)
		}
	}
}

// Over the whole flight, gas jet and all, the rocket never has more energy
// than the charge holds against the ambient: ∫(p − p_a) dV down to p_a, with
// the pressure aloft for p_a.
func TestEnergyOfFlight(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 3))
	for range 40 {
		r, site := design(rng)
		site.Wind, r.Chamber.Gas = 0, Dry
		f, path := Path(r, site, NewScratch())
		if f.Outcome != Landed {
			t.Fatal(f.Outcome)
		}
		v := newVehicle(r, site)
		p, v0 := site.Pressure+r.Chamber.Pressure, v.vessel.volume-v.water
		aloft := v.air.Pressure(figure(t, &f, Apogee))
		most := storedEnergy(p, aloft, v0) - aloft*v0*(math.Pow(p/aloft, 1/gamma)-1)
		coasting := math.Inf(1)
		for _, s := range path {
			e := s.Mass * (s.Speed*s.Speed/2 + air.Gravity*s.Z)
			if e > most {
				t.Errorf("%.2f J at %.3f s, the charge holds %.2f", e, s.T, most)
			}
			if s.Phase < CoastPhase || s.Incidence > math.Pi/2 {
				coasting = math.Inf(1) // tail first, sin α cos α turns the normal force over
				continue
			}
			if e > coasting*(1+1e-6) {
				t.Errorf("energy grows from %.4f to %.4f J at %.3f s in calm air without thrust", coasting, e, s.T)
			}
			coasting = e
		}
	}
}

// Dry gas keeps p V^1.4 while water leaves.
func TestDryAdiabatInFlight(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 4))
	for range 10 {
		r, site := design(rng)
		r.Chamber.Gas = Dry
		_, path := Path(r, site, NewScratch())
		v := newVehicle(r, site)
		want := (site.Pressure + r.Chamber.Pressure) * math.Pow(v.vessel.volume-v.water, gamma)
		n := 0
		for _, s := range path {
			if s.Phase == WaterPhase {
				near(t, "p V^1.4", s.Pressure*math.Pow(v.vessel.volume-s.Water, gamma), want, 1e-5) // the tolerance of the integrator
				n++
			}
		}
		if n < 2 {
			t.Errorf("%d samples in the water phase", n)
		}
	}
}

// The drive that is integrated stands for what the textbook integrates: the
// energy and mass of the gas, dm/dt = −ṁ and dT/dt = −0.4 T ṁ/m.
func TestBlowdownDrive(t *testing.T) {
	r, site := carbon()
	s := NewScratch()
	s.reset(r, site)
	const temp0, pressure0 = 270.0, 9e5
	v := &s.vehicle
	m0 := pressure0 * v.vessel.volume / (air.GasConstant * temp0)
	s.blowdown = newBlowdown(pressure0, temp0, m0, site.Pressure, v.gasJet, v.gasThrust)
	s.phase, s.guided = GasPhase, true // at rest, so that ambient pressure stays
	s.held = true
	w := s.blowdown.ambient
	y := make([]float64, ascentSize)
	y[gas] = math.Sqrt(1 - w*w)
	end := integrate(t, y, func(y []float64) float64 { return s.level(thrustOver, y) }, s.ascend)

	plain := []float64{m0, temp0}
	pressure := func(y []float64) float64 { return y[0] * air.GasConstant * y[1] / v.vessel.volume }
	after := integrate(t, plain, func(y []float64) float64 { return pressure(y) - thrustEnd*site.Pressure },
		func(y, dydt []float64) {
			flow, _ := gasJet(pressure(y), y[1], site.Pressure, v.gasJet)
			dydt[0], dydt[1] = -flow, -0.4*y[1]*flow/y[0]
		})
	near(t, "duration", end, after, 1e-7)
	near(t, "gas left", s.gasLeft(y), plain[0], 1e-8)
}

// In next to no air the flight after thrust is a parabola: apogee, descent and
// reach by the textbook.
func TestArcWithoutAir(t *testing.T) {
	r, site := carbon()
	site.Pressure, site.Humidity, site.Wind, site.Tilt = 0.1, 0, 0, 5*math.Pi/180
	r.Chamber.Gas, r.Chamber.Throat, r.Body.Drag, r.Recovery.Delay = Dry, 0.016, 1e-12, 1e4
	s := NewScratch()
	s.Tolerance = 1e-10
	f, path := Path(r, site, s)
	if f.Outcome != Landed {
		t.Fatal(f.Outcome)
	}
	var from Sample
	for _, p := range path {
		if p.Phase == CoastPhase {
			from = p
			break
		}
	}
	if from.Z < 50 {
		t.Fatalf("thrust ends at %g m", from.Z)
	}
	const g = air.Gravity
	const airless = 1e-4 // what is left of the normal force is under 1e-4 of the weight
	vx := math.Sqrt(from.Speed*from.Speed - from.Vertical*from.Vertical)
	lean := figure(t, &f, ThrustEndLean)
	near(t, "lean", math.Abs(lean), math.Atan2(vx, from.Vertical), 1e-9)
	vx = math.Copysign(vx, lean)
	near(t, "apogee", figure(t, &f, Apogee), from.Z+from.Vertical*from.Vertical/(2*g), airless)
	near(t, "apogee time", figure(t, &f, ApogeeTime), from.T+from.Vertical/g, airless)
	down := math.Sqrt(from.Vertical*from.Vertical + 2*g*from.Z)
	near(t, "landing speed", figure(t, &f, LandingSpeed), down, airless)
	fall := (from.Vertical + down) / g
	near(t, "flight time", figure(t, &f, FlightTime), from.T+fall, airless)
	near(t, "drift", figure(t, &f, Drift), from.X+vx*fall, airless)
}
