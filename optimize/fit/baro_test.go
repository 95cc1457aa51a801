package fit

import (
	"math"
	"testing"

	"ullage/model"
	"ullage/model/air"
)

// TestHeightAt holds the closed form of the hypsometric equation against its
// integral, dp = −ρ g dz in moist air of constant mixing ratio, by small steps.
func TestHeightAt(t *testing.T) {
	for _, c := range []struct{ temp, pressure, humidity float64 }{
		{288.15, 101325, 0}, {303.15, 99000, 0.7}, {263.15, 95000, 1},
	} {
		site := model.Site{Temperature: c.temp, Pressure: c.pressure, Humidity: c.humidity}
		e := c.humidity * air.SaturationPressure(c.temp)
		r := air.GasConstant / (1 - (1-air.GasConstant/air.VapourGas)*e/c.pressure) // of the mixture, by its virtual temperature
		p, z := c.pressure, 0.0
		const dz = 0.01
		for ; z < 400; z += dz {
			mid := c.temp - air.Lapse*(z+dz/2)
			p *= math.Exp(-air.Gravity * dz / (r * mid))
		}
		// T_v is taken to fall as T does: T_v − T falls too, by 3 % of itself here.
		if got := heightAt(&site, p, c.pressure); math.Abs(got-z) > 0.02 {
			t.Errorf("%v K, %v: %v m, want %v m", c.temp, c.humidity, got, z)
		}
	}
}

func TestStretch(t *testing.T) {
	for _, c := range []struct {
		why       string
		altimeter Altimeter
		site      model.Site
		want, tol float64
	}{
		{"standard day at sea level", PadAt15, model.Site{Temperature: 288.15, Pressure: 101325}, 1, 1e-12},
		{"10 K warmer", PadAt15, model.Site{Temperature: 298.15, Pressure: 101325}, 298.15 / 288.15, 1e-12},
		{"standard day at 1000 m by the standard atmosphere from sea level", SeaLevel, model.Site{Temperature: 281.65, Pressure: air.StandardPressure(1000)}, 1, 1e-9},
		{"the same by one that has 15 degC there", PadAt15, model.Site{Temperature: 281.65, Pressure: air.StandardPressure(1000)}, 281.65 / 288.15, 1e-12},
		{"true", TrueHeight, model.Site{Temperature: 300, Pressure: 9e4}, 1, 0},
	} {
		if got := c.altimeter.stretch(&c.site); math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
	// An altimeter with 15 °C at the pad, and the site's own law, agree once stretched.
	site := model.Site{Temperature: 303.15, Pressure: 98000}
	p := 96500.0
	shown := heightAt(&model.Site{Temperature: 288.15, Pressure: 98000}, p, 98000)
	if got, want := shown*PadAt15.stretch(&site), heightAt(&site, p, 98000); math.Abs(got-want) > 1e-9 {
		t.Errorf("%v m stretched, want %v m", got, want)
	}
}

// TestFilter holds the filter to the closed form of its answer to a ramp.
func TestFilter(t *testing.T) {
	const tau, rate = 0.3, 20.0
	times := []float64{0, 0.01, 0.05, 0.05, 0.4, 0.41, 1.7}
	u := make([]float64, len(times))
	for i, at := range times {
		u[i] = rate * at
	}
	filter(u, times, tau)
	for i, at := range times {
		want := rate * (at - tau*(1-math.Exp(-at/tau)))
		if math.Abs(u[i]-want) > 1e-12*rate {
			t.Errorf("at %v s: %v, want %v", at, u[i], want)
		}
	}
}
