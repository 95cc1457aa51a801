package model

import "math"

// flutterScale returns the flutter speed of the fins over a/√p, in √Pa: with
// the speed of sound a, in m/s, and the pressure p, in Pa, the flutter speed
// is a/√p times it.
//
//	V_f = a √(G/X),  X = (24 ε γ p/π) AR³/((t/c)³ (AR + 2)) (λ + 1)/2
//
// with ε = 0.25, AR = s²/A_f of one fin, λ = tip/root and c the root chord.
// Source: Martin, NACA TN 4197, 1958 (from memory; a widely reprinted form is
// √2 too high).
func flutterScale(f *Fins) float64 {
	const offset = 0.25
	ar := f.Span * f.Span / (f.Span * (f.Root + f.Tip) / 2)
	tc := f.Thickness / f.Root
	x := 24 * offset * gamma / math.Pi * ar * ar * ar / (tc * tc * tc * (ar + 2)) * (f.Tip/f.Root + 1) / 2
	return math.Sqrt(f.ShearModulus / x)
}
