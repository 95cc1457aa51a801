package fit

import (
	"ullage/model"
	"ullage/model/air"
)

// An Altimeter is how a logger made heights of pressures.
type Altimeter int

// Barometric altimeters assume the standard atmosphere: with 15 °C at the pad,
// or at sea level and the pad at its pressure altitude. A log of true heights,
// of satellite navigation or corrected already, needs no correction. Where
// nobody says which, a fit asks: it makes 3.5 % of height for 10 K.
const (
	Unsaid Altimeter = iota
	PadAt15
	SeaLevel
	TrueHeight
)

var altimeterNames = [...]string{Unsaid: "", PadAt15: "pad", SeaLevel: "sea", TrueHeight: "true"}

// String returns the altimeter as in an option: "pad", "sea" or "true", or ""
// where it is Unsaid.
func (a Altimeter) String() string { return altimeterNames[a] }

// AltimeterOf returns the altimeter of that name, Unsaid for "", and whether
// there is one.
func AltimeterOf(name string) (Altimeter, bool) {
	for a, n := range altimeterNames {
		if n == name {
			return Altimeter(a), true
		}
	}
	return 0, false
}

// saidBy returns what a header says of its column of heights: those of satellite
// navigation, and what calls itself corrected, are true; a pressure altitude is
// counted in the standard atmosphere from sea level. "Altitude" alone may be
// either.
func saidBy(header []string, at int) Altimeter {
	if at < 0 {
		return Unsaid
	}
	words, _ := label(header[at])
	for _, w := range words {
		switch w {
		case "gps", "gnss", "true", "corrected", "geometric":
			return TrueHeight
		case "pressure":
			return SeaLevel
		}
	}
	return Unsaid
}

const standardTemperature = 288.15 // K, at sea level, ISO 2533:1975

// stretch returns how many metres of the site's air stand for one metre of
// the standard atmosphere's, height for height of equal pressure.
//
// Both follow p = p₀ (1 − L z/T₀)^(g/(R L)), so that equal pressures mean equal
// z/T₀: the ratio is T₀ over the temperature that the altimeter assumed at
// the pad. It is 3.5 % for 10 K.
//
// Source: the hypsometric equation, Δz = (R T_v/g) ln(p₁/p₂) (Wallace and Hobbs,
// Atmospheric Science, 2nd ed. 2006, section 3.2; from memory), with the lapse of
// ICAO Doc 7488/3.
func (a Altimeter) stretch(site *model.Site) float64 {
	switch a {
	case PadAt15:
		return virtual(site) / standardTemperature
	case SeaLevel:
		// Where the standard atmosphere has the pad's pressure.
		assumed := standardTemperature * air.Power(site.Pressure/air.StandardPressure(0), air.GasConstant*air.Lapse/air.Gravity)
		return virtual(site) / assumed
	default:
		return 1
	}
}

// virtual returns the virtual temperature at the pad, in K: that of dry air as
// light as the site's. Vapour adds 0.2 to 1 % to heights on a warm day.
//
//	T_v = T / (1 − (1 − R/R_v) e/p)
//
// Source: Wallace and Hobbs, as above, equation 3.16; from memory.
func virtual(site *model.Site) float64 {
	e := site.Humidity * air.SaturationPressure(site.Temperature)
	return site.Temperature / (1 - (1-air.GasConstant/air.VapourGas)*e/site.Pressure)
}

// heightAt returns the height above the level where the pressure is p0, in m,
// at which the site's air has pressure p.
func heightAt(site *model.Site, p, p0 float64) float64 {
	return virtual(site) / air.Lapse * (1 - air.Power(p/p0, air.GasConstant*air.Lapse/air.Gravity))
}
