package air

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/testdata/kept"
)

// The air over pads that are usual, cold, hot, high and dry is what was kept, at
// heights over the whole range and on both sides of where its forms change: where the
// series end, where the wind stops falling, from octave to octave of it and beyond the
// last. So is the vapour pressure, inside its table and beyond both ends.
func TestKeptAir(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, pad := range [][5]float64{ // of Set
		{288.15, 101325, 0, 0, 0},
		{290.15, 99800, 0.55, 3, 0.143},
		{255, 62000, 1, -8, 0.35},
		{318, 104000, 0.2, 12, 1},
	} {
		c := NewColumn(pad[0], pad[1], pad[2], pad[3], pad[4])
		fmt.Fprintln(&out, "pad", pad)
		top := seriesTop / c.lapse
		for _, z := range []float64{
			-5000, math.Nextafter(-top, -9999), -0.999 * top, -40, 0, 0.3, math.Nextafter(CalmHeight, 0), CalmHeight, math.Nextafter(CalmHeight, 2),
			math.Nextafter(2, 0), 2, 3, 10, 17, 64, 250, 1023, 0.999 * top, math.Nextafter(top, 9999), 9000,
		} {
			root, rootSlope := c.PressureRoot(z)
			wind, slope, bend := c.Shear(z)
			fmt.Fprintln(&out, z, c.At(z), c.Pressure(z), root, rootSlope, wind, slope, bend)
		}
		for _, z := range []float64{20000, 65535, 65536, 1e5, 2e5} {
			fmt.Fprintln(&out, z, c.Wind(z))
		}
	}
	for _, temp := range []float64{150, 199, 199.999, 200, 200.5, 233, 263.15, 273.15, 280.7, 293, 310.1, 373.15, 398.9, 399, 399.5, 400, 400.5, 450} {
		p, slope := SaturationSlope(temp)
		fmt.Fprintln(&out, "vapour", temp, SaturationPressure(temp), p, slope)
	}
	for h := -500.0; h < 11000; h += 1917 {
		fmt.Fprintln(&out, "standard", h, StandardTemperature(h), StandardPressure(h))
	}
	kept.Same(t, "air.txt", out.String())
}
