package model

import (
	"math"
	"testing"
)

// speedOf returns the flutter speed at sea level.
func speedOf(f Fins) float64 { return flutterScale(&f) * 340.29 / math.Sqrt(101325) }

// Computed from Martin, NACA TN 4197, 1958 (equation from memory): root 200,
// tip 100, span 100, thickness 3 mm. Four digits. A form in wide reprint gives
// √2 more, 300.0 and 146.5 m/s: it must not be this one.
func TestFlutter(t *testing.T) {
	f := Fins{Root: 0.2, Tip: 0.1, Span: 0.1, Thickness: 0.003}
	for g, want := range map[float64]float64{2.6e9: 212.1, 0.62e9: 103.6} {
		f.ShearModulus = g
		near(t, "flutter speed", speedOf(f), want, 5e-4)
	}
	f.ShearModulus = 2.6e9
	base := speedOf(f)
	stiff, thick := f, f
	stiff.ShearModulus *= 4
	near(t, "four times the modulus", speedOf(stiff), 2*base, 1e-12)
	thick.Thickness *= 4
	near(t, "four times the thickness", speedOf(thick), 8*base, 1e-12)
	scaled := f
	scaled.Root, scaled.Tip, scaled.Span, scaled.Thickness = 0.4, 0.2, 0.2, 0.006
	near(t, "twice the size", speedOf(scaled), base, 1e-12)

	// The taper enters as (λ + 1)/2 at equal aspect ratio, and the aspect ratio
	// as AR³/(AR + 2).
	even := f
	even.Tip, even.Span = 0.2, 0.1*4/3 // AR still 2/3, λ = 1
	near(t, "no taper", speedOf(even), base*math.Sqrt(1.5/2), 1e-12)
	wide := even
	wide.Span *= 2
	k := func(ar float64) float64 { return math.Sqrt((ar + 2) / (ar * ar * ar)) }
	near(t, "twice the aspect ratio", speedOf(wide)/speedOf(even), k(4./3)/k(2./3), 1e-12)
}
