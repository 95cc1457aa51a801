package air

import "math"

const windTerms = 7 // of the polynomial for one octave: within 1e-6 for exponents up to 1

// nodes are the Chebyshev nodes of 1 ≤ m ≤ 2.
var nodes = func() (m [windTerms]float64) {
	for j := range m {
		m[j] = 1.5 + math.Cos(math.Pi*(float64(j)+0.5)/windTerms)/2
	}
	return m
}()

// lagrange[j] holds the coefficients, in m − 1.5, of the polynomial that is 1
// at node j and 0 at the others.
var lagrange = func() (p [windTerms][windTerms]float64) {
	for j := range p {
		p[j][0] = 1
		for k := range p {
			if k == j {
				continue
			}
			scale := 1 / (nodes[j] - nodes[k])
			for i := windTerms - 1; i >= 0; i-- {
				p[j][i] *= -(nodes[k] - 1.5) * scale
				if i > 0 {
					p[j][i] += p[j][i-1] * scale
				}
			}
		}
	}
	return p
}()

// fitWind prepares Wind for the exponent: the power over one octave of height
// as the polynomial through its Chebyshev nodes, and over whole octaves.
func (c *Column) fitWind() {
	for k := range c.doubling {
		c.doubling[k] = math.Exp2(float64(k) * c.exponent)
	}
	clear(c.octave[:])
	for j, m := range nodes {
		v := Power(m, c.exponent)
		for i := range c.octave {
			c.octave[i] += v * lagrange[j][i]
		}
	}
}
