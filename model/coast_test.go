package model

import (
	"math"
	"testing"

	"ullage/model/air"
)

// body is a scratch for a body of 90 mm, 0.15 kg and a constant C_D of 0.35 in
// air of 1.225 kg/m³, past its thrust.
func body() *Scratch {
	s := NewScratch()
	s.vehicle = vehicle{
		air: uniform(1.225), drag: constantDrag(0.35), section: math.Pi / 4 * 0.09 * 0.09,
		diameter: 0.09, exit: 1, perFlutter: 1, filling: 1,
	}
	s.settled, s.phase = heft{mass: 0.15, cg: 0.5, inertia: 0.01}, CoastPhase
	return s
}

// Computed from the closed forms of the coast with quadratic drag (Fowles &
// Cassiday, Analytical Mechanics, section 2.4): 50 m/s straight up. Digits of
// the table.
func TestCoast(t *testing.T) {
	s := body()
	y := make([]float64, ascentSize)
	y[vHeight] = 50
	up := integrate(t, y, func(y []float64) float64 { return y[vHeight] }, s.ascend)
	near(t, "time up", up, 3.314223, 1e-6)
	near(t, "height", y[height], 65.95404, 1e-6)

	d := make([]float64, descentSize)
	d[height] = y[height]
	down := integrate(t, d, func(y []float64) float64 { return y[height] }, s.descend)
	near(t, "time down", down, 4.042683, 1e-6)
	near(t, "return speed", -d[vHeight], 27.45014, 1e-6)
	terminal := math.Sqrt(2 * 0.15 * air.Gravity / (1.225 * 0.35 * s.vehicle.section))
	near(t, "terminal speed", terminal, 32.84214, 1e-6)
	near(t, "return speed identity", -d[vHeight], 50*terminal/math.Hypot(50, terminal), 1e-6)
}

// settledSpeed returns the speed at which drag balances weight.
func settledSpeed(t *testing.T, mass, rho, diameter, cd float64) float64 {
	t.Helper()
	s := body()
	s.vehicle.air, s.vehicle.section, s.settled.mass = uniform(rho), 0, mass
	s.vehicle.canopy = cd * math.Pi / 4 * diameter * diameter
	s.full = true
	d := []float64{0, 1000, 0, -3, 0}
	integrate(t, d, func(y []float64) float64 { return y[height] - 900 }, s.descend)
	return -d[vHeight]
}

func TestTerminalSpeed(t *testing.T) {
	// Published: R. Culp, parachute descent calculations: 62.3 g, C_D 0.75,
	// 1.22 kg/m³, 3 m/s wants 0.435 m. Three digits.
	near(t, "62.3 g under 0.435 m", settledSpeed(t, 0.0623, 1.22, 0.435, 0.75), 3, 1.2e-3)
	// Published: C. Kane, parachute calculations: 27 g, C_D 1.5 wants 0.202 m.
	near(t, "27 g under 0.202 m", settledSpeed(t, 0.027, 1.22, 0.202, 1.5), 3, 3e-3)
	// Computed: 0.5 kg under 0.6 m.
	near(t, "0.5 kg under 0.6 m", settledSpeed(t, 0.5, 1.225, 0.6, 0.75), 6.1442, 1e-5)
}

// Filling over a path of 8 diameters, closed form without gravity: the speed
// decays as exp(−s³/(3 A L³)), with A the mass ratio 2m/(ρ C_D S L), and the
// force peaks at (A e^−1)^(2/3) of the full drag where A < 1, else at full
// canopy. The table has the drag area grow with the square of time instead, so
// the two need not agree, except for heavy loads, which filling does not slow.
func TestOpeningLoad(t *testing.T) {
	for _, row := range table(t, "opening_load.csv") {
		a := row[0]
		s := body()
		s.vehicle.section, s.vehicle.canopy, s.vehicle.filling = 0, 0.2, 4
		s.settled.mass = a * 1.225 * 0.2 * 4 / 2
		const fast = 1e4 // m/s, so that gravity is nothing
		peak := 0.0
		d := make([]float64, descentSize)
		d[height], d[vAlong] = 1e3, fast
		integrate(t, d, func(y []float64) float64 { return 4 - y[airPath] }, func(y, dydt []float64) {
			s.descend(y, dydt)
			if y[airPath] <= 4 { // else a stage behind the end
				peak = max(peak, s.pull)
			}
		})
		s.descend(d, make([]float64, descentSize))
		peak = max(peak, s.pull)
		want := math.Exp(-2 / (3 * a))
		if a < 1 {
			want = math.Pow(a/math.E, 2./3)
		}
		full := 0.5 * 1.225 * 0.2 * fast * fast
		near(t, "opening load", peak/full, want, 2e-3) // the peak is sampled at the steps of the integrator
		if a >= 10 {
			near(t, "opening load of a heavy body against filling by time", peak/full, row[3], 2e-3)
		}
	}
}

// The table of opening loads itself, by brute force with the integrator: it
// then vouches for both.
func TestOpeningTable(t *testing.T) {
	for _, row := range table(t, "opening_load.csv") {
		for i, n := range []float64{0.5, 1, 2} {
			peak := 0.0
			y := []float64{1, 0} // speed and time, both from 0 to 1
			integrate(t, y, func(y []float64) float64 { return 1 - y[1] }, func(y, dydt []float64) {
				f := math.Pow(min(max(y[1], 0), 1), n) * y[0] * y[0]
				peak = max(peak, f)
				dydt[0], dydt[1] = -f/row[0], 1
			})
			if math.Abs(peak-row[i+1]) > 3e-4 {
				t.Errorf("mass ratio %g, power %g: %.4f, want %.4f", row[0], n, peak, row[i+1])
			}
		}
	}
}
