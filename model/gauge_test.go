package model

import (
	"math"
	"testing"
)

// A cubic's maximum is found where calculus puts it, from readings at uneven
// times; a parabola's needs no reading before.
func TestVertex(t *testing.T) {
	const ta, tm, tb = 1.0, 1.4, 1.9
	for _, c := range []struct {
		name string
		t0   float64
		f    func(t float64) float64
		at   float64
	}{
		{"parabola", none, func(t float64) float64 { return 5 - 3*(t-1.3)*(t-1.3) }, 1.3},
		{"parabola with a reading before", 0.7, func(t float64) float64 { return 5 - 3*(t-1.3)*(t-1.3) }, 1.3},
		{"cubic", 0.7, func(t float64) float64 { return 2 + 3*t*t - t*t*t - 3*t/4 }, 1 + math.Sqrt(3)/2},
		{"cubic, top just behind the start", 0.6, func(t float64) float64 { return -(t - 1.05) * (t - 1.05) * (t + 1) }, 1.05},
	} {
		before := 0.0
		if c.t0 < ta {
			before = c.f(c.t0)
		}
		at, top := vertex(c.t0, before, ta, c.f(ta), tm, c.f(tm), tb, c.f(tb))
		if math.Abs(at-c.at) > 1e-4 || math.Abs(top-c.f(c.at)) > 1e-7 {
			t.Errorf("%s: %v at %v, want %v at %v", c.name, top, at, c.f(c.at), c.at)
		}
	}
	for name, f := range map[string]func(float64) float64{
		"rising":     func(t float64) float64 { return t },
		"valley":     func(t float64) float64 { return (t - 1.3) * (t - 1.3) },
		"top beyond": func(t float64) float64 { return -(t - 3) * (t - 3) },
	} {
		if at, top := vertex(0.7, f(0.7), ta, f(ta), tm, f(tm), tb, f(tb)); !math.IsInf(top, -1) {
			t.Errorf("%s: %v at %v, want none", name, top, at)
		}
	}
}
