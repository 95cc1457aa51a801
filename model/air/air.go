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
	return seaLevelPress * math.Pow(StandardTemperature(h)/seaLevelTemp, lapseExponent)
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
	return 611.21 * math.Exp((18.678-c/234.5)*c/(257.14+c))
}

// SaturationSlope returns p and dp/dT of SaturationPressure, in Pa and Pa/K.
func SaturationSlope(t float64) (p, slope float64) {
	c := t - IceTemp
	d := 1 / (257.14 + c)
	k := 18.678 - c/234.5
	p = 611.21 * math.Exp(k*c*d)
	return p, p * d * (k - c/234.5 - k*c*d)
}

// A Column is the air above a pad.
type Column struct {
	temp     float64 // K at the pad
	press    float64 // Pa at the pad
	vapour   float64 // 1, vapour pressure over pressure: constant with height
	perR     float64 // 1/(R of the mixture), kg K/J
	wind     float64 // m/s at 10 m
	exponent float64
}

// NewColumn returns the air above a pad with temperature t in K, station
// pressure p in Pa, relative humidity rh from 0 to 1, and wind, in m/s at 10 m,
// that follows a power law of height with the given exponent.
func NewColumn(t, p, rh, wind, exponent float64) Column {
	vapour := rh * SaturationPressure(t) / p
	return Column{
		temp: t, press: p, vapour: vapour,
		perR: (1-vapour)/GasConstant + vapour/VapourGas,
		wind: wind, exponent: exponent,
	}
}

// A State is the air at one height.
type State struct {
	Temperature float64 // K
	Pressure    float64 // Pa
	Density     float64 // kg/m³
	SoundSpeed  float64 // m/s
	Viscosity   float64 // Pa s
}

// Pressure returns the pressure, in Pa, at height z, in m above the pad.
//
//	p = p₀ (T/T₀)^(g₀/(R L)), T = T₀ − L z
//
// Source: ISO 2533:1975, applied from the site's own values.
func (c *Column) Pressure(z float64) float64 {
	return c.press * math.Exp(lapseExponent*math.Log1p(-Lapse*z/c.temp))
}

// At returns the air at height z, in m above the pad. Density is that of
// ideal humid air with a constant share of vapour; viscosity is Sutherland's
// (ISO 2533:1975 eq. 22).
func (c *Column) At(z float64) State {
	t := c.temp - Lapse*z
	p := c.Pressure(z)
	rho := p * c.perR / t
	return State{
		Temperature: t, Pressure: p, Density: rho,
		SoundSpeed: math.Sqrt(Gamma * p / rho),
		Viscosity:  1.458e-6 * t * math.Sqrt(t) / (t + 110.4),
	}
}

// CalmHeight is the height, in m, below which the wind no longer falls.
const CalmHeight = 1.0

// Wind returns the wind speed, in m/s, at height z, in m above the pad.
//
//	w = w₁₀ (max(z, 1 m) / 10 m)^e
//
// Common practice, no source.
func (c *Column) Wind(z float64) float64 {
	if c.wind == 0 {
		return 0
	}
	return c.wind * math.Exp(c.exponent*math.Log(max(z, CalmHeight)/10))
}
