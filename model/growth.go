package model

import (
	"math"

	"ullage/model/air"
)

// MostGrowth is the largest share by which gauge pressure may widen a chamber:
// beyond it no wall stretches in proportion (ours).
const MostGrowth = 0.25

// room returns the volume of the gas, in m³, over so much water and with so much
// more behind a launch tube, both in m³, at temperature t, in K. A wall that
// stretches makes the chamber V₀ (1 + β (p − p_a0)), p_a0 being the air at the
// pad. With p = m_a R T/V + p_sat that is a quadratic in V:
//
//	V = (c + √(c² + 4 V₀ β m_a R T))/2,  c = V₀ (1 + β (p_sat − p_a0)) − V_w
//
// Source: Hooke's law for the wall; common practice, no source.
func (v *vehicle) room(water, behind, t float64) float64 {
	c := v.vessel.volume - water + behind
	if v.give == 0 {
		return c
	}
	return v.stretched(c, t)
}

// stretched returns room with the wall's part, from what it is without.
func (v *vehicle) stretched(c, t float64) float64 {
	c -= v.give * v.pad
	if v.charge.moist {
		ps, _ := air.SaturationSlope(t)
		c += v.give * ps
	}
	return (c + math.Sqrt(c*c+4*v.give*v.charge.dry*air.GasConstant*t)) / 2
}

// gain returns how fast the gas in a volume, in m³, gains volume, in m³/s, where
// water or tube make room for it at the given rate and it cools by dTdV, in K/m³:
// the wall shrinks as pressure falls.
//
//	dV/dt = Q/(1 + V₀ β κ),  κ = −dp/dV along the expansion
func (v *vehicle) gain(rate, volume, t, dTdV float64) float64 {
	if v.give == 0 {
		return rate
	}
	return v.damped(rate, volume, t, dTdV)
}

func (v *vehicle) damped(rate, volume, t, dTdV float64) float64 {
	return rate / (1 + v.give*v.charge.stiffness(volume, t, dTdV))
}
