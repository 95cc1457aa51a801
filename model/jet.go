package model

import (
	"math"

	"ullage/model/air"
)

// thrustEnd is the ratio of gas to ambient pressure at which a jet ends.
const thrustEnd = 1.001

// endDrive is (s/w)² of a blowdown, below, at the end of thrust: thrustEnd^(2/7) − 1.
const endDrive = 2.8561230316737074e-4

// waterJet returns the speed, in m/s, of the water that an overpressure dp, in
// Pa, drives out.
//
//	u² = 2 Δp / (ρ K),  K = 1/C_d² − (C_c A_t/A)²
//
// k is K, C_d the velocity coefficient, C_c A_t the contracted jet's area: a
// sharp-edged hole has C_c ≈ 0.62 and C_d ≈ 0.98 (any text on fluid mechanics).
// Flow and thrust are C_c A_t u and ρ C_c A_t u². The water column is quasi-steady: the acceleration head and the
// momentum inside cancel over the water phase.
func waterJet(dp, k float64) float64 { return math.Sqrt(2 * max(dp, 0) / (WaterDensity * k)) }

// Isentropic flow of a gas of γ = 1.4 through a convergent nozzle (NACA
// Report 1135, 1953).
const (
	gamma         = air.Gamma
	criticalRatio = 1.8929291587378534 // ((γ+1)/2)^(γ/(γ−1)): choked at and above it
	criticalRoot  = 1.0954451150103321 // criticalRatio^(1/7) = √((γ+1)/2)
	chokedDrive   = 0.4472135954999579 // √(criticalRoot² − 1)
	chokedFlow    = 0.6847314563772704 // √γ (2/(γ+1))^((γ+1)/(2(γ−1)))
	chokedExit    = 0.5282817877171742 // throat pressure over chamber pressure
	throatTemp    = 2 / (gamma + 1)    // throat temperature over chamber temperature
)

// gasJet returns the mass flow, in kg/s, and the thrust, in N, of gas at
// absolute pressure p, in Pa, and temperature t, in K, from a jet of the given
// area, in m², into ambient pressure pa. That area is C_g A_t: the coefficient of
// a convergent nozzle narrows its jet as a whole, so that neither speed nor
// pressure in it depend on the coefficient.
//
//	choked:    ṁ = A p √(γ/(R T)) (2/(γ+1))^((γ+1)/(2(γ−1))),  F = ṁ √(γ R T*) + (p* − p_a) A
//	otherwise: r = p_a/p, u = √(2γ/(γ−1) R T (1 − r^((γ−1)/γ))),  ṁ = A p/(R T) r^(1/γ) u,  F = ṁ u
//
// Source: any text on gas dynamics; NACA Report 1135, 1953.
func gasJet(p, t, pa, area float64) (flow, thrust float64) {
	b := newBlowdown(p, t, 1, pa, area, 1)
	flow, thrust = b.jet(1, b.ambient)
	return flow, thrust
}

// A blowdown is the isentropic discharge of ideal air of γ = 7/5 from a chamber
// that starts at pressure p₁, temperature T₁ and mass m₁. With
//
//	q = (p/p₁)^(1/7),  w = (p_a/p₁)^(1/7)
//
// all that the jet needs are products: T = T₁ q², m = m₁ q⁵, and in a jet that
// is not choked u = √(7 R T₁) s with the drive s = √(q² − w²). The drive is what
// is integrated: it falls smoothly to the end of thrust, where p itself has a
// vertical tangent.
type blowdown struct {
	pressure, temp, mass float64 // Pa, K, kg at the start
	ambient              float64 // w at the pad
	push                 float64 // N/Pa, force of the pressure in a choked throat: the jet's area
	choked               float64 // kg/s, flow over q⁶ while choked
	free                 float64 // kg/s, flow over w⁵ s otherwise
	throat               float64 // m/s, thrust of the choked flow over flow and q
	firm, soft           float64 // 1, of left; 1 and 0 where the wall does not stretch
	exit                 float64 // m/s, thrust over flow and s otherwise
}

// newBlowdown starts one through a jet of the given area, in m²; thrust multiplies
// the force of an ideal one.
func newBlowdown(p, t, m, pa, area, thrust float64) blowdown {
	rt := air.GasConstant * t
	exit := math.Sqrt(2 * gamma / (gamma - 1) * rt)
	return blowdown{
		pressure: p, temp: t, mass: m, ambient: air.Power(pa/p, 1./7), firm: 1, push: thrust * area,
		choked: area * p * chokedFlow / math.Sqrt(rt),
		free:   area * p / rt * exit,
		throat: thrust * math.Sqrt(gamma*throatTemp*rt),
		exit:   thrust * exit,
	}
}

// left returns the gas in the chamber, in kg, and what stands for it where the
// pressure falls: a wall that shrinks with it keeps it up. What stays in the
// chamber expands isentropically whatever the wall does.
//
//	V = V₁ (firm + soft q⁷),  m = m₁ q⁵ V/V₁,  dp/dt = −γ R T ṁ/(V + γ p dV/dp)
func (b *blowdown) left(q float64) (m, slow float64) {
	q2 := q * q
	q5 := q2 * q2 * q
	soft := b.soft * q5 * q2
	return b.mass * q5 * (b.firm + soft), b.mass * q5 * (b.firm + (1+gamma)*soft)
}

// jet returns the mass flow, in kg/s, and the thrust, in N.
func (b *blowdown) jet(q, w float64) (flow, thrust float64) {
	q2, w2 := q*q, w*w
	if q >= criticalRoot*w {
		q6 := q2 * q2 * q2
		flow = b.choked * q6
		return flow, flow*b.throat*q + b.pressure*b.push*(chokedExit*q6*q-w2*w2*w2*w)
	}
	s := math.Sqrt(max(q2-w2, 0))
	flow = b.free * w2 * w2 * w * s
	return flow, flow * b.exit * s
}

// jetLeft returns about how long, in s, a gas jet lasts whose drive falls at the
// given rate, or how long it stays choked, since what follows bends there: a
// little more than either, so that a step as long ends behind it. The drive of a
// jet that is not choked falls with q⁻³: as fast as now but for q³ in the mean
// over q³ now.
func jetLeft(drive, rate, w float64) float64 {
	over := drive / w * (drive / w) // q² − 1, in w
	left := 1.014 * (math.Sqrt(endDrive)*w - drive) / rate * (1 + 0.5*over) / ((1 + over) * math.Sqrt(1+over))
	if choked := chokedDrive * w; drive > 1.1*choked {
		left = min(left, 1.02*(choked-drive)/rate)
	}
	return left
}
