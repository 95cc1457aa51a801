package model

import (
	"math"
	"testing"

	"ullage/model/air"
)

// slope returns dp/dV of a charge along its adiabat.
func slope(c *charge, v, t float64) float64 {
	_, dTdV := c.expand(v, t)
	_, ps := air.SaturationSlope(t)
	if !c.moist {
		ps = 0
	}
	return -c.dry*air.GasConstant*t/(v*v) + (c.dry*air.GasConstant/v+ps)*dTdV
}

// The table used c_v = 718 and another vapour formula: a unit of its last digit.
func TestWetAdiabat(t *testing.T) {
	for _, row := range table(t, "wet_adiabat.csv") {
		p, temp := row[0]*1e5, row[1]+air.IceTemp
		c := newCharge(Moist, p, 1e-3, temp)
		got := -slope(&c, 1e-3, temp) * 1e-3 / p
		if math.Abs(got-row[2]) > 1e-3 {
			t.Errorf("exponent at %g bar, %g °C = %.4f, want %.3f", row[0], row[1], got, row[2])
		}
		if got < 1 || got > 1.4 {
			t.Errorf("exponent at %g bar, %g °C = %.4f, want between isothermal and dry", row[0], row[1], got)
		}
	}
}

// expandTo follows the adiabat from volume 1 l to the given ratio.
func expandTo(t *testing.T, c *charge, temp, ratio float64) (p, end float64) {
	t.Helper()
	y := []float64{temp, 0}
	now := integrate(t, y, func(y []float64) float64 { return ratio - 1 - y[1] }, func(y, dydt []float64) {
		_, dTdV := c.expand(1e-3*(1+y[1]), y[0])
		dydt[0], dydt[1] = dTdV*1e-3, 1
	})
	return c.pressure(1e-3*(1+now), y[0]), y[0]
}

// Computed: from 6 bar and 20 °C to 1.5 times the volume.
func TestFiniteExpansion(t *testing.T) {
	wet := newCharge(Moist, 6e5, 1e-3, 293.15)
	p, temp := expandTo(t, &wet, 293.15, 1.5)
	near(t, "moist pressure", p, 3.4803e5, 3e-4)
	near(t, "moist temperature", temp, 255.9, 4e-4)
	dry := newCharge(Dry, 6e5, 1e-3, 293.15)
	p, temp = expandTo(t, &dry, 293.15, 1.5)
	near(t, "dry pressure", p, 3.4011e5, 2e-5)
	near(t, "dry temperature", temp, 249.3, 2e-4)
	near(t, "p V^1.4", p*math.Pow(1.5, 1.4), 6e5, 1e-9)
}

// The adiabat conserves energy: heat added is 0, so the internal energy of
// air, vapour and fog falls by the work done.
func TestMoistEnergyBalance(t *testing.T) {
	c := newCharge(Moist, 8e5, 1e-3, 303.15)
	energy := func(v, temp float64) float64 {
		mv := air.SaturationPressure(temp) * v / (air.VapourGas * temp)
		liquid := c.vapour - mv
		// The liquid's reference fixes the vapour's: u_v = u_l + L − R_v T.
		ul := waterC * (temp - air.IceTemp)
		uv := ul + 2.501e6 - 2361*(temp-air.IceTemp) - air.VapourGas*temp
		return c.dry*airCv*temp + mv*uv + liquid*ul
	}
	y := []float64{303.15, 0, 0}
	integrate(t, y, func(y []float64) float64 { return 1 - y[2] }, func(y, dydt []float64) {
		p, dTdV := c.expand(1e-3*(1+y[2]), y[0])
		dydt[0], dydt[1], dydt[2] = dTdV*1e-3, p*1e-3, 1
	})
	fall := energy(1e-3, 303.15) - energy(2e-3, y[0])
	// The stated constants are not quite consistent: L falls by 2361 J/(kg K),
	// c_l − c_vv − R_v by 2314. That is 2 % of the vapour's small share.
	near(t, "internal energy given up", fall, y[1], 1e-3)
}

// The same balance in the open air is the moist lapse rate. Published: about
// 4.7 K/km at 288 K and 1000 hPa (read from a graph of a meteorology course,
// University of Oregon), hence 3 %. The others are computed from the usual
// closed formula, which leaves out terms of the size of the mixing ratio: 1.5 %
// at 20 °C.
func TestMoistLapseRate(t *testing.T) {
	rate := func(temp float64) float64 {
		c := newCharge(Moist, 1e5, 1, temp)
		_, dTdV := c.expand(1, temp)
		return dTdV / slope(&c, 1, temp) * c.mass() * air.Gravity * 1000 // K/km
	}
	near(t, "lapse at 288 K", rate(288), 4.7, 0.03)
	near(t, "lapse at 288 K, computed", rate(288), 4.79, 0.015)
	near(t, "lapse at 293.15 K, computed", rate(293.15), 4.31, 0.015)
	near(t, "lapse at 273.15 K, computed", rate(273.15), 6.48, 0.015)
}

// Stored energy is the work of the dry adiabat down to ambient pressure.
func TestStoredEnergy(t *testing.T) {
	const p, pa, v = 16e5, 1e5, 3e-3
	c := newCharge(Dry, p, v, 293.15)
	y := []float64{293.15, 0, v}
	integrate(t, y, func(y []float64) float64 { return c.pressure(y[2], y[0])/pa - 1 }, func(y, dydt []float64) {
		p, dTdV := c.expand(y[2], y[0])
		dydt[0], dydt[1], dydt[2] = dTdV*1e-3, p*1e-3, 1e-3
	})
	near(t, "stored energy", storedEnergy(p, pa, v), y[1], 1e-8)
}
