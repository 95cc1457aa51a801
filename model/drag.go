package model

import (
	"math"

	"ullage/model/air"
)

// frictionLimit returns the fully rough skin-friction coefficient of a surface
// of length l with sand grain k, both in m; 0 when smooth.
//
//	(1.89 + 1.62 log₁₀(l/k))^−2.5
//
// Source: Schlichting, Boundary-Layer Theory (from memory).
func frictionLimit(l, k float64) float64 {
	if k <= 0 {
		return 0
	}
	v := 1.89 + 1.62*math.Log10(max(l/k, 1))
	return 1 / (v * v * math.Sqrt(v))
}

// friction returns the skin-friction coefficient of a plate at Reynolds number
// re ≥ 1e3, with rough the value of frictionLimit: laminar, or transitional and
// turbulent, whichever is larger, so that it is continuous in re.
//
//	max(1.328/√Re, max(0.455/(log₁₀ Re)^2.58, rough) − 1700/Re)
//
// Source: Schlichting, Boundary-Layer Theory (Prandtl–Schlichting line; from
// memory).
func friction(re, rough float64) float64 {
	return max(1.328/math.Sqrt(re), max(turbulent(re*re), rough)-1700/re)
}

// turbulent returns 0.455/(log₁₀ Re)^2.58 within 2e-8, from the square of Re and
// without logarithm and power: friction is asked for twice at every instant of
// a flight.
func turbulent(re2 float64) float64 {
	i, u := place(re2)
	if i < 0 || i >= len(frictionTable) {
		return exactTurbulent(re2)
	}
	return frictionTable[i].turbulent.at(u)
}

// place returns the piece of the table that the square of a Reynolds number
// falls into and the place inside it, from −½ to ½. A piece is an eighth of an
// octave of the square: both are bits of the number.
func place(re2 float64) (i int, u float64) {
	const pieceBits = 52 - 3 // of the fraction, below the index
	bits := math.Float64bits(re2)
	return int(bits>>pieceBits) - tableStart, math.Float64frombits(bits<<3&(1<<52-1)|1023<<52) - 1.5
}

func exactTurbulent(re2 float64) float64 {
	return 0.455 * air.Power(math.Log10(re2)/2, -2.58)
}

const tableStart = (1023 + 18) * 8 // the table begins at re = 2⁹

// A frictionPiece is what the table holds of one piece, over the square of the
// Reynolds number: that takes no root.
type frictionPiece struct {
	turbulent   quartic
	smooth      quartic // 1/√(turbulent − 1700/re), where a smooth plate is turbulent
	inverseRoot quartic // 1/√re
}

// frictionTable holds every piece up to re = 2³⁰.
var frictionTable = func() (table [42 * 8]frictionPiece) {
	for i := range table {
		low := math.Float64frombits(uint64(i+tableStart) << 49)
		high := math.Float64frombits(uint64(i+tableStart+1) << 49)
		table[i].turbulent = fit(low, high, exactTurbulent)
		table[i].inverseRoot = fit(low, high, func(re2 float64) float64 { return 1 / math.Sqrt(math.Sqrt(re2)) })
		if low >= smoothFrom {
			table[i].smooth = fit(low, high, func(re2 float64) float64 { return 1 / math.Sqrt(exactTurbulent(re2)-1700/math.Sqrt(re2)) })
		}
	}
	return table
}()

// smoothFrom is the square of a Reynolds number, 490 000, up to which a smooth
// plate is laminar.
const smoothFrom = 7 << 35 // where a piece begins

// A quartic is a polynomial of fourth degree, lowest power first.
type quartic [5]float64

func (c *quartic) at(u float64) float64 {
	u2 := u * u
	return (c[0] + c[1]*u) + u2*((c[2]+c[3]*u)+c[4]*u2)
}

// fit returns the quartic through five points of f between low and high, in u
// from −½ to ½.
func fit(low, high float64, f func(float64) float64) (c quartic) {
	// Newton's divided differences at u = 0, ±0.3, ±0.5.
	at := [5]float64{0, -0.3, 0.3, -0.5, 0.5}
	var d [5]float64
	for j, u := range at {
		d[j] = f(low + (high-low)*(u+0.5))
	}
	for k := 1; k < 5; k++ {
		for j := 4; j >= k; j-- {
			d[j] = (d[j] - d[j-1]) / (at[j] - at[j-k])
		}
	}
	for k := 4; k >= 0; k-- { // Horner over (u − at[k])
		for j := 4; j > 0; j-- {
			c[j] = c[j-1] - at[k]*c[j]
		}
		c[0] = d[k] - at[k]*c[0]
	}
	return c
}

// A drag holds the parts of the drag coefficient that a design settles.
//
// Source: Mandell, Caporaso & Bengen, Topics in Advanced Model Rocketry, MIT
// Press 1973 (build-up, from memory); fin edges after Hoerner, Fluid-Dynamic
// Drag, 1965 (from memory).
type drag struct {
	bodyRough, finRough float64 // fully rough friction limits
	bodyLaminar         float64 // squares of the body's Reynolds numbers up to which friction is laminar there
	finLaminar          float64 // and on the fins
	least               float64 // the square at which the fins' counts from on
	length              float64 // m, of the body's Reynolds number
	finShare, finRoot   float64 // the fins' Reynolds number over the body's; its inverse root
	bodyPerCf           float64 // C_D of the body per C_f: form factor · A_wet/S
	finPerCf            float64 // C_D of fins and interference per C_f
	basePer             float64 // 0.029 (A_base/S)^1.5/√bodyPerCf
	fixed               float64 // cone nose and fin edges
	scale               float64
}

var edgeDrag = [...]float64{Cut: 0.9, Radiused: 0.2, Faired: 0}

func newDrag(r *Rocket, o *outline) drag {
	f, body := &r.Fins, &r.Body
	d := body.Diameter
	s := math.Pi * d * d / 4
	chord := (f.Root + f.Tip) / 2
	n := float64(f.Count)
	panel := f.Span * chord
	base := o.base / s
	withRoot := panel + d*f.Root/2 // panel carried to the axis
	slender := body.Length / d
	g := drag{
		bodyRough: frictionLimit(body.Length, body.Roughness), finRough: frictionLimit(chord, body.Roughness),
		length: body.Length, finShare: chord / body.Length, finRoot: math.Sqrt(body.Length / chord),
		bodyPerCf: (1 + 60/(slender*slender*slender) + 0.0025*slender) * o.wetted / s,
		finPerCf:  2 * (1 + 2*f.Thickness/chord) * n * (withRoot + (withRoot - panel)) / s,
		basePer:   0.029 * base * math.Sqrt(base),
		scale:     body.Drag,
	}
	g.basePer /= math.Sqrt(g.bodyPerCf)
	body1, fin1 := laminarTo(g.bodyRough), laminarTo(g.finRough)/g.finShare
	g.bodyLaminar, g.finLaminar = body1*body1, fin1*fin1
	g.least = 1e3 / g.finShare * 1e3 / g.finShare
	sweep := math.Atan2(f.Rake, f.Span)
	cos := math.Cos(sweep)
	g.fixed = edgeDrag[f.Edges] * cos * cos * n * f.Thickness * f.Span / s
	if body.Nose.Shape == Cone {
		half := math.Atan2(d/2, body.Nose.Length)
		sin := math.Sin(half)
		g.fixed += 0.8 * sin * sin
	}
	return g
}

// coefficient returns C_D on the body's cross-section at the square of an
// airspeed, in m²/s², in air of one over the kinematic viscosity perNu, in s/m²,
// and one over the speed of sound perSound, in s/m. Speed and Reynolds numbers
// count from 0.1 m/s and 1e3 on, and the Mach number up to 0.8.
func (g *drag) coefficient(speed2, perNu, perSound float64) float64 {
	if speed2 < 0.1*0.1 {
		speed2 = 0.1 * 0.1
	}
	perLength := g.length * perNu
	re2 := speed2 * (perLength * perLength)
	x := 0.1 * speed2 * (perSound * perSound)
	if x > 0.1*0.8*0.8 {
		x = 0.1 * 0.8 * 0.8
	}
	compress := 1 - x
	var body, fins, perRoot float64 // the last is 1/√body
	if i, u := place(re2); i < 0 || i >= len(frictionTable) || re2 < g.least {
		re := math.Sqrt(re2)
		body, fins = friction(max(re, 1e3), g.bodyRough), friction(max(re*g.finShare, 1e3), g.finRough)
		perRoot = 1 / math.Sqrt(body)
	} else { // friction of both without division and, as a rule, without root
		c := &frictionTable[i]
		inverseRoot := c.inverseRoot.at(u)
		inverse := inverseRoot * inverseRoot
		body = 1.328 * inverseRoot
		fins = body * g.finRoot
		smooth := false
		if re2 > g.bodyLaminar {
			t := c.turbulent.at(u)
			rough := t < g.bodyRough
			if rough {
				t = g.bodyRough
			}
			if t -= 1700 * inverse; t > body {
				body, smooth = t, !rough
			}
		}
		if smooth {
			perRoot = c.smooth.at(u)
		} else {
			perRoot = 1 / math.Sqrt(body)
		}
		if re2 > g.finLaminar {
			fins = larger(fins, larger(turbulent(re2*(g.finShare*g.finShare)), g.finRough)-1700*inverse*g.finRoot*g.finRoot)
		}
	}
	// 1/√compress, to x³: within 5e-6
	inflate := (1 + x*(1./2)) + x*x*(3./8+x*(5./16))
	return g.scale * (compress*(body*g.bodyPerCf+fins*g.finPerCf) + (g.basePer*inflate*perRoot + g.fixed))
}

// laminarTo returns a Reynolds number up to which friction is laminar: where
// the transitional line meets it on a smooth plate (a little below, so that
// rounding does no harm) or, sooner, on one with a fully rough limit.
//
//	rough − 1700/Re = 1.328/√Re
func laminarTo(rough float64) float64 {
	const smooth = 5e5
	root := 2 * 1700 / (math.Sqrt(1.328*1.328+4*1700*rough) - 1.328) // √Re
	return math.Min(smooth, root*root)
}

// larger is max without its care for NaN and −0, which costs in this place.
func larger(a, b float64) float64 {
	if a > b {
		return a
	}
	return b
}
