package model

import "math"

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
	return math.Pow(1.89+1.62*math.Log10(max(l/k, 1)), -2.5)
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
	return max(1.328/math.Sqrt(re), max(turbulent(re), rough)-1700/re)
}

// turbulent returns 0.455/(log₁₀ re)^2.58 within 2e-8, without logarithm and
// power: friction is asked for twice at every instant of a flight. A piece of
// the table is an eighth of an octave of re; its index and the place inside it
// are the bits of the number.
func turbulent(re float64) float64 {
	const pieceBits = 52 - 3 // of the fraction, below the index
	bits := math.Float64bits(re)
	i := int(bits>>pieceBits) - tableStart
	if i < 0 || i >= len(turbulentTable) {
		return exactTurbulent(re)
	}
	c := &turbulentTable[i]
	u := math.Float64frombits(bits<<3&(1<<52-1)|1023<<52) - 1.5
	u2 := u * u
	return (c[0] + c[1]*u) + u2*((c[2]+c[3]*u)+c[4]*u2)
}

func exactTurbulent(re float64) float64 {
	return 0.455 * math.Pow(math.Log10(re), -2.58)
}

const tableStart = (1023 + 9) * 8 // the table begins at re = 2⁹

// turbulentTable holds, for every piece up to re = 2³⁰, the quartic in u
// through five points of it, u from −½ to ½.
var turbulentTable = func() (table [21 * 8][5]float64) {
	for i := range table {
		low := math.Float64frombits(uint64(i+tableStart) << 49)
		width := math.Float64frombits(uint64(i+tableStart+1)<<49) - low
		// Newton's divided differences at u = 0, ±0.3, ±0.5.
		at := [5]float64{0, -0.3, 0.3, -0.5, 0.5}
		var d [5]float64
		for j, u := range at {
			d[j] = exactTurbulent(low + width*(u+0.5))
		}
		for k := 1; k < 5; k++ {
			for j := 4; j >= k; j-- {
				d[j] = (d[j] - d[j-1]) / (at[j] - at[j-k])
			}
		}
		c := &table[i]
		for k := 4; k >= 0; k-- { // Horner over (u − at[k])
			for j := 4; j > 0; j-- {
				c[j] = c[j-1] - at[k]*c[j]
			}
			c[0] = d[k] - at[k]*c[0]
		}
	}
	return table
}()

// A drag holds the parts of the drag coefficient that a design settles.
//
// Source: Mandell, Caporaso & Bengen, Topics in Advanced Model Rocketry, MIT
// Press 1973 (build-up, from memory); fin edges after Hoerner, Fluid-Dynamic
// Drag, 1965 (from memory).
type drag struct {
	bodyRough, finRough float64 // fully rough friction limits
	bodyLaminar         float64 // Reynolds numbers up to which friction is laminar
	finLaminar          float64
	length              float64 // m, of the body's Reynolds number
	finShare, finRoot   float64 // the fins' Reynolds number over the body's; its inverse root
	bodyPerCf           float64 // C_D of the body per C_f: form factor · A_wet/S
	finPerCf            float64 // C_D of fins and interference per C_f
	basePer             float64 // 0.029 (A_base/S)^1.5
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
	withRoot := panel + d*f.Root/2 // panel carried to the axis
	slender := body.Length / d
	g := drag{
		bodyRough: frictionLimit(body.Length, body.Roughness), finRough: frictionLimit(chord, body.Roughness),
		length: body.Length, finShare: chord / body.Length, finRoot: math.Sqrt(body.Length / chord),
		bodyPerCf: (1 + 60/(slender*slender*slender) + 0.0025*slender) * o.wetted / s,
		finPerCf:  2 * (1 + 2*f.Thickness/chord) * n * (withRoot + (withRoot - panel)) / s,
		basePer:   0.029 * math.Pow(o.base/s, 1.5),
		scale:     body.Drag,
	}
	g.bodyLaminar, g.finLaminar = laminarTo(g.bodyRough), laminarTo(g.finRough)
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

// coefficient returns C_D on the body's cross-section at airspeed v, in m/s,
// in air of one over the kinematic viscosity perNu, in s/m², at Mach number
// mach. Speed and Reynolds numbers count from 0.1 m/s and 1e3 on.
func (g *drag) coefficient(v, perNu, mach float64) float64 {
	if v < 0.1 {
		v = 0.1
	}
	if mach > 0.8 {
		mach = 0.8
	}
	compress := 1 - 0.1*mach*mach
	re := v * g.length * perNu
	var body, fins float64
	if re*g.finShare < 1e3 {
		body, fins = friction(max(re, 1e3), g.bodyRough), friction(max(re*g.finShare, 1e3), g.finRough)
	} else { // friction of both with one division and one root
		inverse := 1 / re
		laminar := 1.328 * math.Sqrt(inverse)
		body, fins = laminar, laminar*g.finRoot
		if re > g.bodyLaminar {
			body = larger(body, larger(turbulent(re), g.bodyRough)-1700*inverse)
		}
		if reFin := re * g.finShare; reFin > g.finLaminar {
			fins = larger(fins, larger(turbulent(reFin), g.finRough)-1700*inverse*g.finRoot*g.finRoot)
		}
	}
	body *= compress * g.bodyPerCf
	return g.scale * (body + g.basePer/math.Sqrt(body) + compress*fins*g.finPerCf + g.fixed)
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
