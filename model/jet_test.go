package model

import (
	"math"
	"testing"

	"ullage/model/air"
)

// standing is a bottle of 2 l with 0.5 l of water on a test stand, 500 kPa
// gauge at 293.15 K, discharging without losses through a throat of area a.
// It returns the time, impulse and jet energy of the water, and pressure,
// thrust and temperature at its end.
func standing(t *testing.T, gas Gas, a float64) [6]float64 {
	t.Helper()
	const volume, ambient, gauge = 2e-3, 101325.0, 500e3
	c := newCharge(gas, ambient+gauge, volume-0.5e-3, 293.15)
	y := []float64{0.5e-3, 293.15, 0, 0} // water, temperature, impulse, energy
	flow := func(y []float64) (p, u, dTdV float64) {
		p, dTdV = c.expand(volume-y[0], y[1])
		return p, waterJet(p-ambient, 1), dTdV
	}
	end := integrate(t, y, func(y []float64) float64 { return y[0] }, func(y, dydt []float64) {
		_, u, dTdV := flow(y)
		dydt[0] = -a * u
		dydt[1] = dTdV * a * u
		dydt[2] = WaterDensity * a * u * u
		dydt[3] = WaterDensity * a * u * u * u / 2
	})
	p, u, _ := flow(y)
	return [6]float64{end, y[2], y[3], p, WaterDensity * a * u * u, y[1]}
}

// The dry row of the table, brought to the density of the model: time and
// impulse go with its square root. Tolerances are the table's last digit.
func TestExpulsion(t *testing.T) {
	want := table(t, "expulsion.csv")[0]
	got := standing(t, Dry, math.Pi/4*0.01*0.01)
	thin := math.Sqrt(WaterDensity / 1000)
	near(t, "expulsion time", got[0], want[1]*thin, 1e-5)
	near(t, "impulse", got[1], want[2]*thin, 1e-6)
	near(t, "jet energy", got[2], want[3], 1e-6)
	near(t, "end pressure", got[3], want[4], 1e-6)
	near(t, "end thrust", got[4], want[5], 3e-6)
	near(t, "end temperature", got[5], want[6], 3e-5)
}

// Impulse and energy do not know the throat; time goes with 1/area.
func TestExpulsionInvariants(t *testing.T) {
	for _, gas := range []Gas{Dry, Moist} {
		const a = 1e-4
		base := standing(t, gas, a)
		for _, k := range []float64{0.2, 0.5, 3} {
			got := standing(t, gas, a*k)
			near(t, "impulse", got[1], base[1], 1e-9)
			near(t, "jet energy", got[2], base[2], 1e-9)
			near(t, "time x area", got[0]*k, base[0], 1e-9)
		}
	}
}

// Moist gas cools less than dry gas and more than gas at constant
// temperature: it stands between those rows of the table, and between 1.3 and
// 1.4, as its mean exponent of 1.34 says.
func TestMoistExpulsionIsBetween(t *testing.T) {
	rows := table(t, "expulsion.csv")
	got := standing(t, Moist, math.Pi/4*0.01*0.01)
	for i, what := range map[int]string{2: "jet energy", 3: "end pressure", 5: "end temperature"} {
		if low, high := rows[0][i+1], rows[1][i+1]; got[i] < low || got[i] > high {
			t.Errorf("%s = %g, want between %g (dry) and %g (exponent 1.3)", what, got[i], low, high)
		}
	}
}

// The model's water has 998.2 kg/m³, the textbooks' 1000.
const bookWater = 1000 / WaterDensity

// Published: Cambridge International A-level Physics 9702/23, Oct/Nov 2018,
// question 3: nozzle radius 7.5 mm, jet 13 m/s for 0.2 s, 0.40 kg of container
// and 0.70 kg of water; 0.46 kg leave and 0.64 kg stay. Thrust 30 N and
// acceleration 37 m/s² are the mark scheme's, from memory. The figures have
// two digits, hence 1.5 %.
func TestToyRocket(t *testing.T) {
	u := waterJet(WaterDensity*13*13/2, 1)
	near(t, "jet speed", u, 13, 1e-12)
	mdot := WaterDensity * math.Pi * 7.5e-3 * 7.5e-3 * u
	near(t, "mass expelled", mdot*0.2, 0.46, 0.015)
	near(t, "mass left", 1.1-mdot*0.2, 0.64, 0.015)
	near(t, "thrust", mdot*u, 30, 0.015)
	near(t, "acceleration", mdot*u/(1.1-mdot*0.2)-air.Gravity, 37, 0.015)
}

// Published: Douglas, Fluid Mechanics, example 5.6: a jet of 50 mm leaves at
// 4.9 m/s from a tank that moves at 1.2 m/s; reaction 47.14 N, power 56.57 W.
// Four digits, hence 0.05 %.
func TestJetReaction(t *testing.T) {
	u := waterJet(WaterDensity*4.9*4.9/2, 1)
	reaction := WaterDensity * math.Pi / 4 * 0.05 * 0.05 * u * u
	near(t, "reaction", reaction*bookWater, 47.14, 5e-4)
	near(t, "power", reaction*1.2*bookWater, 56.57, 5e-4)
}

// Published: Cengel & Cimbala, Fluid Mechanics, example 5-5: water at 400 kPa
// gauge rises 40.8 m. Three digits, hence 0.1 %.
func TestJetHeight(t *testing.T) {
	u := waterJet(400e3, 1)
	near(t, "jet height", u*u/(2*air.Gravity)/bookWater, 40.8, 1e-3)
}

func TestWaterJetLimits(t *testing.T) {
	if u := waterJet(-5, 1); u != 0 {
		t.Errorf("waterJet(-5 Pa) = %v, want 0", u)
	}
	near(t, "velocity coefficient", waterJet(3e5, 1/(0.97*0.97)), 0.97*waterJet(3e5, 1), 1e-14)
}

// Choked constants, computed from their formulas for γ = 1.4 (any text on gas
// dynamics; NACA Report 1135).
func TestChokedConstants(t *testing.T) {
	const g = gamma
	near(t, "critical pressure ratio", 1/criticalRatio, math.Pow(2/(g+1), g/(g-1)), 1e-14)
	near(t, "critical pressure ratio", chokedExit, 0.528282, 1e-6)
	near(t, "critical temperature ratio", throatTemp, 0.833333, 1e-6)
	near(t, "choked flow", chokedFlow, math.Sqrt(g)*math.Pow(2/(g+1), (g+1)/(2*(g-1))), 1e-14)
	near(t, "choked flow", chokedFlow, 0.684731, 1e-6)
	near(t, "choked flow with R", chokedFlow/math.Sqrt(air.GasConstant), 0.0404147, 1e-6)
	near(t, "choked flow with the books' R", chokedFlow/math.Sqrt(287), 0.0404184, 1e-6)
}

// Flow and thrust are continuous where choking ends, and end at ambient.
func TestGasJetContinuous(t *testing.T) {
	const pa, temp, area = 1e5, 250.0, 1e-4
	above, f1 := gasJet(criticalRatio*pa*(1+1e-12), temp, pa, area)
	below, f2 := gasJet(criticalRatio*pa*(1-1e-12), temp, pa, area)
	near(t, "flow below choking", below, above, 1e-9)
	near(t, "thrust below choking", f2, f1, 1e-9)
	if flow, f := gasJet(pa, temp, pa, area); flow != 0 || f != 0 {
		t.Errorf("at ambient: %v kg/s, %v N, want 0", flow, f)
	}
}

// Worked examples as published; each tolerance is the figure's last digit. The
// examples take R = 287, which moves a flow by 0.01 %.
func TestGasJetExamples(t *testing.T) {
	const (
		psi   = 6894.757
		pound = 0.45359237
		inch  = 0.0254
	)
	circle := func(d float64) float64 { return math.Pi * d * d / 4 }
	temp2 := 500 * 500 / (1.4 * 287.0) // reservoir with a speed of sound of 500 m/s
	for _, c := range []struct {
		source         string
		p, t, pa, area float64
		flow, tol      float64
	}{
		{"Murugaperumal, Gas Dynamics & Jet Propulsion, example 2.1", 1.12 * 287 * temp2, temp2, 0, circle(0.010), 0.02543, 1.1e-3},
		{"Cengel & Cimbala, Fluid Mechanics, example 12-5: leaking tyre", 314e3, 298, 94e3, circle(0.004), 0.00924, 1e-3},
		{"Fox & McDonald, Fluid Mechanics, example 12.2: not choked", 1000e3, 333, 591e3, 1e-3, 2.20, 2.5e-3},
		{"Durham, Thermodynamics, example 11.3", 100 * psi, 960 / 1.8, 0, 0.658 * inch * inch, 1.13 * pound, 1e-3},
	} {
		flow, _ := gasJet(c.p, c.t, c.pa, c.area)
		near(t, c.source, flow, c.flow, c.tol)
	}
	near(t, "throat pressure, Durham 11.3, psi", 100*chokedExit, 52.8, 1e-3)
	near(t, "throat temperature, Durham 11.3, °R", 960*throatTemp, 800, 1e-3)
	near(t, "throat pressure, Murugaperumal 2.1, bar", 1.12*287*temp2*chokedExit/1e5, 1.056, 1e-3)
}

// Published: Fox & McDonald, example 4.3: a tank of 0.05 m³ at 800 kPa and
// 15 °C loses 2.48 kg/m³ a second through 65 mm². From pressure and
// temperature alone, hence 0.3 %.
func TestTankDensityRate(t *testing.T) {
	flow, _ := gasJet(800e3, 288.15, 101e3, 65e-6)
	near(t, "density rate", flow/0.05, 2.48, 3e-3)
}

// blowDown empties a tank from p to end, in Pa, and returns the time and the
// last temperature; isothermal tanks are warmed from outside.
func blowDown(t *testing.T, p, temp, volume, area, pa, end float64, isothermal bool) (float64, float64) {
	t.Helper()
	y := []float64{p * volume / (air.GasConstant * temp), temp}
	pressure := func(y []float64) float64 { return y[0] * air.GasConstant * y[1] / volume }
	at := integrate(t, y, func(y []float64) float64 { return pressure(y)/end - 1 }, func(y, dydt []float64) {
		flow, _ := gasJet(pressure(y), y[1], pa, area)
		dydt[0], dydt[1] = -flow, -(gamma-1)*y[1]*flow/y[0]
		if isothermal {
			dydt[1] = 0
		}
	})
	return at, y[1]
}

// Published: Murugaperumal, Gas Dynamics & Jet Propulsion, example 1.39: a tank
// of 5 m³ at 60 °C goes from 40 to 2 bar through 10 cm² in 70.76 s at constant
// temperature. The adiabatic twin is computed from the closed form. R = 287 in
// the book moves both by 0.01 %.
func TestBlowDown(t *testing.T) {
	got, _ := blowDown(t, 40e5, 333, 5, 10e-4, 1e5, 2e5, true)
	near(t, "isothermal blow-down", got, 70.76, 2e-4)
	got, temp := blowDown(t, 40e5, 333, 5, 10e-4, 1e5, 2e5, false)
	near(t, "adiabatic blow-down", got, 63.081, 2e-4)
	near(t, "isentropic temperature", temp, 333*math.Pow(2./40, 0.4/1.4), 1e-8)
}

// The problem is Bird, Stewart & Lightfoot's free batch expansion: 10 ft³ of
// air at 100 atm and 300 K through 0.1 ft² to 1 atm. The answers are computed:
// choking ends at 1.8929 atm and 96.58 K after 0.5783 s.
func TestFreeBatchExpansion(t *testing.T) {
	const atm, foot = 101325.0, 0.3048
	near(t, "throat pressure", 100*chokedExit, 52.83, 1e-4)
	near(t, "throat temperature", 300*throatTemp, 250, 1e-9)
	got, temp := blowDown(t, 100*atm, 300, 10*foot*foot*foot, 0.1*foot*foot, atm, criticalRatio*atm, false)
	near(t, "time choked", got, 0.5783, 2e-4)
	near(t, "temperature at the end of choking", temp, 96.58, 1e-4)
}
