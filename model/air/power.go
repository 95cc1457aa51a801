package air

import "math"

// Power returns x to the y, x above 0, within 1e-15 of it times 1 + |y log₂ x|.
// Unlike the standard library's it is the same on every amd64 processor: that
// takes exponentials by instructions that some lack.
func Power(x, y float64) float64 { return math.Exp2(y * math.Log2(x)) }

// Exp returns e to the x, within 1e-15 of it times 1 + |x|, the same on every
// amd64 processor, as Power is.
func Exp(x float64) float64 { return math.Exp2(x * math.Log2E) }
