package air

import (
	"math"
	"testing"

	"ullage/testdata/python"
)

// A spread collects relative differences and remembers the largest.
type spread struct{ worst float64 }

func (s *spread) check(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	near(t, what, got, want, rel)
	s.worst = max(s.worst, math.Abs(got/want-1))
}

// Reference libraries, run beside the tests: IAPWS-95 by iapws, moist air
// (ASHRAE RP-1485) and dry air (Lemmon et al. 2000) by CoolProp, the US Standard
// Atmosphere 1976 by fluids.
func TestAgainstReferenceLibraries(t *testing.T) {
	var questions struct {
		Saturation []float64   `json:"saturation"`
		Humid      [][]float64 `json:"humid"`
		Dry        [][]float64 `json:"dry"`
		Standard   []float64   `json:"standard"`
	}
	for c := 0.5; c <= 45; c += 0.5 {
		questions.Saturation = append(questions.Saturation, c+IceTemp)
	}
	for _, c := range []float64{0, 5, 10, 15, 20, 25, 30, 35} {
		for _, p := range []float64{85000, 95000, 101325, 103000} {
			questions.Dry = append(questions.Dry, []float64{c + IceTemp, p})
			for _, rh := range []float64{0, 0.3, 0.6, 1} {
				questions.Humid = append(questions.Humid, []float64{c + IceTemp, p, rh})
			}
		}
	}
	for h := 0.0; h <= 5000; h += 250 {
		questions.Standard = append(questions.Standard, h)
	}
	var answers struct {
		Saturation, Humid []float64
		Dry, Standard     [][]float64
	}
	python.Run(t, "../../testdata/python/air_references.py", questions, &answers)

	var saturation spread
	for i, temp := range questions.Saturation {
		// The stated accuracy of the correlation, over liquid water.
		saturation.check(t, "SaturationPressure", SaturationPressure(temp), answers.Saturation[i], 5e-4)
	}
	var humid spread
	for i, q := range questions.Humid {
		c := NewColumn(q[0], q[1], q[2], 0, 0)
		// The compressibility that an ideal gas leaves out.
		humid.check(t, "Density", c.At(0).Density, answers.Humid[i], 7e-4)
	}
	var sound, viscosity spread
	for i, q := range questions.Dry {
		c := NewColumn(q[0], q[1], 0, 0, 0)
		s := c.At(0)
		sound.check(t, "SoundSpeed", s.SoundSpeed(), answers.Dry[i][1], 1e-3)
		// Two correlations of measurements; the newer one claims 1 %.
		viscosity.check(t, "Viscosity", s.Viscosity(), answers.Dry[i][2], 1e-2)
	}
	var standard spread
	for i, h := range questions.Standard {
		c := NewColumn(seaLevelTemp, seaLevelPress, 0, 0, 0)
		s, want := c.At(h), answers.Standard[i]
		for j, got := range []float64{s.Temperature, s.Pressure, s.Density, s.SoundSpeed(), s.Viscosity()} {
			// The same equations; the gas constant is 7e-7 apart, the series 1e-6.
			standard.check(t, []string{"Temperature", "Pressure", "Density", "SoundSpeed", "Viscosity"}[j], got, want[j], 3e-6)
		}
	}
	t.Logf("largest relative difference: saturation %.1e, humid density %.1e, sound %.1e, viscosity %.1e, standard atmosphere %.1e",
		saturation.worst, humid.worst, sound.worst, viscosity.worst, standard.worst)
}
