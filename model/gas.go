package model

import "ullage/model/air"

// Constants of the moist gas, with the design's latent heat
// L = 2.501e6 − 2361 t(°C) J/kg.
const (
	airCv    = air.GasConstant / (air.Gamma - 1) // J/(kg K)
	vapourCv = 1410.0                            // J/(kg K)
	waterC   = 4186.0                            // J/(kg K), liquid
)

// A charge is the gas over the water: dry air and, when moist, saturated
// vapour with the fog that falls out of it, all at one temperature.
type charge struct {
	dry    float64 // kg of dry air
	vapour float64 // kg of vapour at release: later vapour or fog
	moist  bool
}

// newCharge fills volume, in m³, to an absolute pressure, in Pa, at a
// temperature, in K.
func newCharge(gas Gas, pressure, volume, temperature float64) charge {
	c := charge{moist: gas == Moist}
	ps := 0.0
	if c.moist {
		ps = air.SaturationPressure(temperature)
		c.vapour = ps * volume / (air.VapourGas * temperature)
	}
	c.dry = (pressure - ps) * volume / (air.GasConstant * temperature)
	return c
}

// stiffness returns −dp/dV along the expansion, in Pa/m³, at volume v, in m³, and
// temperature t, in K, where the gas cools by dTdV, in K/m³.
func (c *charge) stiffness(v, t, dTdV float64) float64 {
	perVolume := c.dry * air.GasConstant / v
	slope := 0.0
	if c.moist {
		_, slope = air.SaturationSlope(t)
	}
	return perVolume*t/v - (perVolume+slope)*dTdV
}

func (c *charge) mass() float64 { return c.dry + c.vapour }

// pressure returns the absolute pressure, in Pa, in volume v, in m³, at
// temperature t, in K.
func (c *charge) pressure(v, t float64) float64 {
	p := c.dry * air.GasConstant * t / v
	if c.moist {
		ps, _ := air.SaturationSlope(t)
		p += ps
	}
	return p
}

// expand returns the absolute pressure, in Pa, and dT/dV, in K/m³, of the
// adiabatic expansion at volume v, in m³, and temperature t, in K.
//
//	p = m_a R T/V + p_sat(T),  m_v = p_sat V/(R_v T),  m_l = m_v(0) − m_v
//	dT/dV = −(p + Δu ∂m_v/∂V) / (m_a c_va + m_v c_vv + max(m_l, 0) c_l + Δu ∂m_v/∂T)
//	Δu = L − R_v T
//
// It is the energy balance of air, vapour and fog at one temperature; moist
// expansion in a rocket is treated in Gommes, Am. J. Phys. 78 (2010) 236 (the
// equation is from memory). Dry, p V^1.4 is constant.
func (c *charge) expand(v, t float64) (p, dTdV float64) {
	p = c.dry * air.GasConstant * t / v
	heat := c.dry * airCv
	if !c.moist {
		return p, -p / heat
	}
	ps, slope := air.SaturationSlope(t)
	p += ps
	du := 2.501e6 - 2361*(t-air.IceTemp) - air.VapourGas*t
	mvdV := ps / (air.VapourGas * t)
	mv := mvdV * v
	mvdT := mv * (slope/ps - 1/t)
	heat += mv*vapourCv + max(c.vapour-mv, 0)*waterC + du*mvdT
	return p, -(p + du*mvdV) / heat
}

// storedEnergy returns the work, in J, that gas of volume v, in m³, at
// absolute pressure p gives in an adiabatic expansion to pa, both in Pa.
//
//	E = p V/(γ − 1) (1 − (p_a/p)^((γ−1)/γ))
//
// Source: any text on thermodynamics.
func storedEnergy(p, pa, v float64) float64 {
	const g = air.Gamma
	return p * v / (g - 1) * (1 - air.Power(pa/p, (g-1)/g))
}
