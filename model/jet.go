package model

import (
	"math"

	"ullage/model/air"
)

// thrustEnd is the ratio of gas to ambient pressure at which a jet ends.
const thrustEnd = 1.001

// waterJet returns the speed, in m/s, of the water that an overpressure dp, in
// Pa, drives out.
//
//	u² = 2 Δp / (ρ K),  K = 1/C² − (A_t/A)²
//
// k is K. The water column is quasi-steady: the acceleration head and the
// momentum inside cancel over the water phase.
func waterJet(dp, k float64) float64 { return math.Sqrt(2 * max(dp, 0) / (waterDensity * k)) }

// Isentropic flow of a gas of γ = 1.4 through a convergent nozzle (NACA
// Report 1135, 1953).
const (
	gamma         = air.Gamma
	criticalRatio = 1.8929291587378534 // ((γ+1)/2)^(γ/(γ−1)): choked at and above it
	chokedFlow    = 0.6847314563772704 // √γ (2/(γ+1))^((γ+1)/(2(γ−1)))
	chokedExit    = 0.5282817877171742 // throat pressure over chamber pressure
	throatTemp    = 2 / (gamma + 1)    // throat temperature over chamber temperature
)

// gasJet returns the mass flow, in kg/s, and the thrust, in N, of gas at
// absolute pressure p, in Pa, and temperature t, in K, through a throat of the
// given area, in m², with discharge coefficient c, into ambient pressure pa.
//
//	choked:    ṁ = c A p √(γ/(R T)) (2/(γ+1))^((γ+1)/(2(γ−1))),  F = ṁ √(γ R T*) + (p* − p_a) A
//	otherwise: r = p_a/p, u = √(2γ/(γ−1) R T (1 − r^((γ−1)/γ))),  ṁ = c A p/(R T) r^(1/γ) u,  F = ṁ u
func gasJet(p, t, pa, area, c float64) (flow, thrust float64) {
	rt := air.GasConstant * t
	if p >= criticalRatio*pa {
		flow = c * area * p * chokedFlow / math.Sqrt(rt)
		return flow, flow*math.Sqrt(gamma*throatTemp*rt) + (chokedExit*p-pa)*area
	}
	ratio := min(pa/p, 1)
	log := math.Log(ratio)
	u := math.Sqrt(2 * gamma / (gamma - 1) * rt * (1 - math.Exp(log*(gamma-1)/gamma)))
	flow = c * area * p / rt * math.Exp(log/gamma) * u
	return flow, flow * u
}
