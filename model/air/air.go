// Package air computes the state of the air over a launch site: standard
// atmosphere, humidity, wind. Start from Column and At. It covers the
// troposphere; SI units, kelvins.
package air

import "math"

// Constants of the International Standard Atmosphere (ISO 2533:1975,
// identical to ICAO Doc 7488/3) and of water vapour.
const (
	Gravity       = 9.80665   // m/s², standard gravity
	GasConstant   = 287.05287 // J/(kg K), of dry air
	VapourGas     = 461.523   // J/(kg K), of water vapour
	Gamma         = 1.4       // ratio of specific heats of air
	Lapse         = 0.0065    // K/m, decrease of temperature with geopotential height
	IceTemp       = 273.15    // K, 0 °C
	seaLevelTemp  = 288.15    // K
	seaLevelPress = 101325.0  // Pa
	lapseExponent = Gravity / (GasConstant * Lapse)
)

// StandardTemperature returns the temperature, in K, at geopotential height h,
// in m, of the standard troposphere. Source: ISO 2533:1975.
func StandardTemperature(h float64) float64 { return seaLevelTemp - Lapse*h }

// StandardPressure returns the pressure, in Pa, at geopotential height h, in m,
// of the standard troposphere. Source: ISO 2533:1975.
func StandardPressure(h float64) float64 {
	return seaLevelPress * Power(StandardTemperature(h)/seaLevelTemp, lapseExponent)
}

// SaturationPressure returns the vapour pressure, in Pa, over liquid water at
// temperature t, in K; below 0 °C over supercooled water.
//
//	p = 611.21 exp((18.678 − t/234.5) t / (257.14 + t)), t in °C
//
// Source: Buck, J. Appl. Meteor. 20 (1981) 1527, revised 1996; coefficients
// from memory, within 5e-4 of IAPWS-95 from 0 to 40 °C.
func SaturationPressure(t float64) float64 {
	c := t - IceTemp
	return 611.21 * Exp((18.678-c/234.5)*c/(257.14+c))
}

// SaturationSlope returns p and dp/dT of SaturationPressure, in Pa and Pa/K,
// within 1e-6 and 2e-5 of them: it is in the innermost loop of a flight, so
// that cubic pieces of 1 K stand for the exponential from 200 to 400 K.
func SaturationSlope(t float64) (p, slope float64) {
	i := int(t) - tableFrom
	if i < 0 || i >= len(saturation)-1 {
		return exactSlope(t)
	}
	a, b := &saturation[i], &saturation[i+1]
	u := t - float64(i+tableFrom)
	rise := b.p - a.p
	c2, c3 := 3*rise-2*a.slope-b.slope, a.slope+b.slope-2*rise
	return a.p + u*(a.slope+u*(c2+u*c3)), a.slope + u*(2*c2+3*u*c3)
}

const tableFrom = 200 // K

// saturation holds pressure and slope at every kelvin of the table.
var saturation = func() (table [201]struct{ p, slope float64 }) {
	for i := range table {
		table[i].p, table[i].slope = exactSlope(float64(tableFrom + i))
	}
	return table
}()

func exactSlope(t float64) (p, slope float64) {
	c := t - IceTemp
	d := 1 / (257.14 + c)
	k := 18.678 - c/234.5
	p = 611.21 * Exp(k*c*d)
	return p, p * d * (k - c/234.5 - k*c*d)
}

// A Column is the air above a pad.
type Column struct {
	temp  float64 // K at the pad
	press float64 // Pa at the pad
	perR  float64 // 1/(R of the mixture), kg K/J
	lapse float64 // 1/m, Lapse over temp

	density, perSound, perViscosity float64 // at the pad
	viscLapse                       float64 // of x in T + 110.4 K
	wind                            float64 // m/s at CalmHeight
	exponent                        float64
	octave                          [windTerms]float64 // m^exponent on 1 ≤ m < 2, as a polynomial in m − 1.5
	doubling                        [windOctaves]float64
}

// NewColumn returns the air above a pad; the arguments are those of Set.
func NewColumn(t, p, rh, wind, exponent float64) Column {
	var c Column
	c.Set(t, p, rh, wind, exponent)
	return c
}

// Set makes c the air above a pad with temperature t in K, station pressure p
// in Pa, relative humidity rh from 0 to 1, and wind, in m/s at 10 m, that
// follows a power law of height with the given exponent.
func (c *Column) Set(t, p, rh, wind, exponent float64) {
	vapour := rh * SaturationPressure(t) / p
	c.temp, c.press, c.lapse = t, p, Lapse/t
	c.perR = (1-vapour)/GasConstant + vapour/VapourGas
	c.density = p * c.perR / t
	c.perSound = math.Sqrt(c.perR / (Gamma * t))
	c.perViscosity = c.density * (t + sutherland) / (1.458e-6 * t * math.Sqrt(t))
	c.viscLapse = t / (t + sutherland)
	if exponent != c.exponent || c.doubling[0] == 0 {
		c.exponent = exponent
		c.fitWind()
	}
	c.wind = 0
	if wind != 0 {
		c.wind = wind * Power(CalmHeight/10, exponent)
	}
}

// A State is the air at one height. Sound and viscosity stand as the inverses
// that a flight multiplies by.
type State struct {
	Temperature  float64 // K
	Pressure     float64 // Pa
	Density      float64 // kg/m³
	PerSound     float64 // s/m, one over the speed of sound
	PerViscosity float64 // s/m², one over the kinematic viscosity
}

// SoundSpeed returns the speed of sound, in m/s.
func (s State) SoundSpeed() float64 { return 1 / s.PerSound }

// Viscosity returns the dynamic viscosity, in Pa s.
func (s State) Viscosity() float64 { return s.Density / s.PerViscosity }

// Everything falls with height as a power of T/T₀ = 1 − x. Below seriesTop the
// first terms of the binomial series stand for it, within 1e-6; they need no
// division, root or power.
const seriesTop = 0.05 // of x; 2.2 km above the pad

type terms [5]float64

var (
	pressTerms = binomial(lapseExponent)
	densTerms  = binomial(lapseExponent - 1)
	soundTerms = binomial(-0.5)
	viscTerms  = binomial(lapseExponent - 2.5)
	rootTerms  = binomial(lapseExponent / 7)
)

func binomial(n float64) (c terms) {
	c[0] = 1
	for k := 1; k < len(c); k++ {
		c[k] = -c[k-1] * (n - float64(k-1)) / float64(k)
	}
	return c
}

// at sums the series in pairs: they do not wait for one another.
func (c *terms) at(x float64) float64 {
	x2 := x * x
	return (1 + c[1]*x) + x2*((c[2]+c[3]*x)+c[4]*x2)
}

// At returns the air at height z, in m above the pad.
//
//	T = T₀ − L z,  p = p₀ (T/T₀)^(g₀/(R L)),  a² = γ p/ρ,  μ = 1.458e-6 T^1.5/(T + 110.4)
//
// Density is that of ideal humid air with a constant share of vapour. Source:
// ISO 2533:1975, applied from the site's own values; viscosity is its eq. 22.
func (c *Column) At(z float64) State {
	x := c.lapse * z
	s := State{Temperature: c.temp - Lapse*z}
	if x > seriesTop || x < -seriesTop {
		t := s.Temperature
		s.Pressure = c.Pressure(z)
		s.Density = s.Pressure * c.perR / t
		s.PerSound = c.perSound * math.Sqrt(c.temp/t)
		s.PerViscosity = s.Density * (t + sutherland) / (1.458e-6 * t * math.Sqrt(t))
		return s
	}
	s.Pressure = c.press * pressTerms.at(x)
	s.Density, s.PerSound, s.PerViscosity = c.Flow(z)
	return s
}

const sutherland = 110.4 // K

// Flow returns, as At does, what the forces on a moving body need: density in
// kg/m³, one over the speed of sound in s/m, one over the kinematic viscosity in
// s/m².
func (c *Column) Flow(z float64) (density, perSound, perViscosity float64) {
	x := c.lapse * z
	if x > seriesTop || x < -seriesTop {
		s := c.At(z)
		return s.Density, s.PerSound, s.PerViscosity
	}
	return c.density * densTerms.at(x), c.perSound * soundTerms.at(x), c.perViscosity * viscTerms.at(x) * (1 - c.viscLapse*x)
}

// Pressure returns the pressure, in Pa, at height z, in m above the pad.
func (c *Column) Pressure(z float64) float64 { return c.press * c.power(z, lapseExponent, &pressTerms) }

// PressureRoot returns (p/p₀)^(1/7), the pressure at height z, in m above the
// pad, over that at the pad, as the equations of isentropic air want it, and
// its derivative, in 1/m.
func (c *Column) PressureRoot(z float64) (root, slope float64) {
	root = c.power(z, lapseExponent/7, &rootTerms)
	return root, -lapseExponent / 7 * c.lapse / (1 - c.lapse*z) * root
}

func (c *Column) power(z, n float64, s *terms) float64 {
	x := c.lapse * z
	if x > seriesTop || x < -seriesTop {
		return Exp(n * math.Log1p(-x))
	}
	return s.at(x)
}

// Shear returns the wind, in m/s, at height z, in m above the pad, and its first
// two derivatives with height, in 1/s and 1/(m s).
func (c *Column) Shear(z float64) (wind, slope, bend float64) {
	wind = c.Wind(z)
	if z <= CalmHeight {
		return wind, 0, 0
	}
	slope = c.exponent * wind / z
	return wind, slope, (c.exponent - 1) * slope / z
}

// CalmHeight is the height, in m, below which the wind no longer falls.
const CalmHeight = 1.0

const windOctaves = 16 // of height above CalmHeight: 65 km

// Wind returns the wind speed, in m/s, at height z, in m above the pad.
//
//	w = w₁₀ (max(z, 1 m) / 10 m)^e
//
// Common practice, no source. The power is that of two, exact, times a
// polynomial for the rest of the octave.
func (c *Column) Wind(z float64) float64 {
	if c.wind == 0 {
		return 0
	}
	if z < CalmHeight {
		z = CalmHeight
	}
	bits := math.Float64bits(z)
	k := int(bits>>52) - 1023
	if k >= windOctaves {
		return c.wind * Power(z/CalmHeight, c.exponent)
	}
	u := math.Float64frombits(bits&(1<<52-1)|1023<<52) - 1.5
	o, u2 := &c.octave, u*u
	power := (o[0] + o[1]*u) + u2*((o[2]+o[3]*u)+u2*((o[4]+o[5]*u)+u2*o[6]))
	return c.wind * c.doubling[k] * power
}
