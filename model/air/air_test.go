package air

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, rel)
	}
}

// ISO 2533:1975 tables 5–7 by geopotential altitude. Tolerances are half a
// unit of the last printed digit.
func TestStandardAtmosphere(t *testing.T) {
	for _, row := range []struct{ h, temp, press, rho, sound, mu float64 }{
		{0, 288.150, 101325, 1.22500, 340.294, 1.7894e-5},
		{500, 284.900, 95460.8, 1.16727, 338.369, 1.7737e-5},
		{1000, 281.650, 89874.6, 1.11164, 336.434, 1.7578e-5},
		{1500, 278.400, 84556.0, 1.05807, 334.487, 1.7419e-5},
		{2000, 275.150, 79495.2, 1.00649, 332.529, 1.7260e-5},
		{3000, 268.650, 70108.5, 0.909122, 328.578, 1.6937e-5},
		{5000, 255.650, 54019.9, 0.736116, 320.529, 1.6281e-5},
	} {
		near(t, "StandardTemperature", StandardTemperature(row.h), row.temp, 1e-6)
		near(t, "StandardPressure", StandardPressure(row.h), row.press, 1e-5)
		c := NewColumn(seaLevelTemp, seaLevelPress, 0, 0, 0)
		s := c.At(row.h)
		near(t, "Temperature", s.Temperature, row.temp, 1e-6)
		near(t, "Pressure", s.Pressure, row.press, 1e-5)
		near(t, "Density", s.Density, row.rho, 1e-5)
		near(t, "SoundSpeed", s.SoundSpeed(), row.sound, 1e-5)
		near(t, "Viscosity", s.Viscosity(), row.mu, 3e-5)
	}
}

// Vapour pressure from IAPWS-95 (Wagner & Pruss, J. Phys. Chem. Ref. Data 31
// (2002) 387), computed with a reference library; 5e-4 is the stated accuracy
// of the correlation.
func TestSaturationPressure(t *testing.T) {
	for c, want := range map[float64]float64{1: 657.09, 10: 1228.20, 20: 2339.32, 30: 4246.97, 40: 7384.94} {
		near(t, "SaturationPressure", SaturationPressure(c+IceTemp), want, 5e-4)
	}
}

func TestSaturationSlope(t *testing.T) {
	for _, temp := range []float64{230, 260, 273.15, 290, 320} {
		const h = 1e-3 // K: truncation error of the central difference is below 1e-9
		p, slope := exactSlope(temp)
		near(t, "p", p, SaturationPressure(temp), 1e-15)
		near(t, "slope", slope, (SaturationPressure(temp+h)-SaturationPressure(temp-h))/(2*h), 1e-7)
	}
}

// CIPM-2007 (Picard, Davis, Gläser & Fujii, Metrologia 45 (2008) 149),
// computed from the published formula. An ideal-gas model leaves out the
// compressibility factor, hence 5e-4; at 0 °C the gap is the largest, 6.1e-4.
func TestHumidDensity(t *testing.T) {
	for _, row := range []struct{ c, p, rh, want, tol float64 }{
		{20, 101325, 0, 1.20456, 5e-4},
		{20, 101325, 0.5, 1.19931, 5e-4},
		{15, 101325, 0, 1.22552, 5e-4},
		{15, 101325, 0.5, 1.22163, 5e-4},
		{25, 101325, 0.5, 1.17732, 5e-4},
		{30, 101325, 0.8, 1.15001, 5e-4},
		{0, 101325, 0, 1.29305, 6.1e-4},
		{10, 95000, 0.6, 1.16592, 5e-4},
	} {
		c := NewColumn(row.c+IceTemp, row.p, row.rh, 0, 0)
		near(t, "Density", c.At(0).Density, row.want, row.tol)
	}
}

func TestWind(t *testing.T) {
	c := NewColumn(288.15, 101325, 0, 4, 1.0/7)
	near(t, "Wind(10)", c.Wind(10), 4, 1e-6)
	near(t, "Wind(1280)", c.Wind(1280), 8, 1e-6) // 128^(1/7) = 2
	if c.Wind(0) != c.Wind(1) {
		t.Errorf("Wind(0) = %v, want that at 1 m, %v", c.Wind(0), c.Wind(1))
	}
}

// The polynomials and tables stand for the formulas of their doc comments.
func TestFastForms(t *testing.T) {
	for _, e := range []float64{0, 0.1, 1.0 / 7, 0.4, 1} {
		c := NewColumn(288.15, 101325, 0, 5, e)
		for z := 0.5; z < 2e5; z *= 1.013 {
			near(t, "Wind", c.Wind(z), 5*math.Pow(max(z, 1)/10, e), 1e-6)
		}
	}
	c := NewColumn(280, 95000, 0.4, 0, 0)
	vapour := 0.4 * SaturationPressure(280)
	for z := -500.0; z < 20000; z += 37 {
		temp := 280 - Lapse*z
		press := 95000 * math.Pow(temp/280, lapseExponent)
		e := vapour * press / 95000
		dens := (press-e)/(GasConstant*temp) + e/(VapourGas*temp)
		s := c.At(z)
		near(t, "Pressure", s.Pressure, press, 1e-6)
		near(t, "Column.Pressure", c.Pressure(z), press, 1e-6)
		near(t, "Density", s.Density, dens, 1e-6)
		near(t, "SoundSpeed", s.SoundSpeed(), math.Sqrt(Gamma*press/dens), 1e-6)
		near(t, "Viscosity", s.Viscosity(), 1.458e-6*math.Pow(temp, 1.5)/(temp+110.4), 1e-6)
		root, slope := c.PressureRoot(z)
		near(t, "PressureRoot", root, math.Pow(press/95000, 1./7), 1e-6)
		near(t, "its slope", slope, -Gravity*root/(7*GasConstant*temp), 1e-6)
	}
	for temp := 140.0; temp < 420; temp += 0.137 {
		p, slope := SaturationSlope(temp)
		wantP, wantSlope := exactSlope(temp)
		near(t, "saturation pressure", p, wantP, 1e-6)
		near(t, "saturation slope", slope, wantSlope, 2e-5)
	}
}
