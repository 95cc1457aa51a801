package ode

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/testdata/kept"
)

// published are test problems with the values that they start from. Sources: DETEST
// (Hull, Enright, Fellen & Sedgwick, SIAM J. Numer. Anal. 9 (1972) 603): A1, B5, D5
// and E2; the Brusselator, Hairer, Nørsett & Wanner, Solving Ordinary Differential
// Equations I, eq. II.0.15. From memory.
var published = []struct {
	name  string
	rates rates
	begin []float64
	end   float64
}{
	{"decay, A1", func(_ float64, y, dy []float64) { dy[0] = -y[0] }, []float64{1}, 20},
	{"rigid body, B5", func(_ float64, y, dy []float64) {
		dy[0], dy[1], dy[2] = y[1]*y[2], -y[0]*y[2], -0.51*y[0]*y[1]
	}, []float64{0, 1, 1}, 20},
	{"orbit of eccentricity 0.9, D5", func(_ float64, y, dy []float64) {
		r := math.Sqrt(y[0]*y[0] + y[1]*y[1])
		dy[0], dy[1], dy[2], dy[3] = y[2], y[3], -y[0]/(r*r*r), -y[1]/(r*r*r)
	}, []float64{0.1, 0, 0, math.Sqrt(19)}, 20},
	{"van der Pol, E2", func(_ float64, y, dy []float64) {
		dy[0], dy[1] = y[1], (1-y[0]*y[0])*y[1]-y[0]
	}, []float64{2, 0}, 20},
	{"Brusselator", func(_ float64, y, dy []float64) {
		dy[0], dy[1] = 1+y[0]*y[0]*y[1]-4*y[0], 3*y[0]-y[0]*y[0]*y[1]
	}, []float64{1.5, 3}, 20},
	// Ours: a rate that jumps, which makes steps be refused.
	{"a square wave", func(t float64, y, dy []float64) {
		dy[0] = math.Copysign(1, float64(int(t)&1)-0.5) - y[0]/10
	}, []float64{0}, 6},
}

// The steps over published problems are the ones that were kept: where each ends,
// what is tried next, the state there, in the middle of it and at its start, and what
// it cost. Some are cut, and the tolerance changes on the way.
func TestKeptSteps(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, p := range published {
		for _, rel := range []float64{1e-3, 1e-6, 1e-9} {
			fmt.Fprintf(&out, "%s, tolerance %g\n", p.name, rel)
			s := NewSolver(len(p.begin))
			s.System, s.Rel = p.rates, rel
			for i := range s.Abs {
				s.Abs[i] = rel * float64(i+1)
			}
			copy(s.Y, p.begin)
			s.Start(0, 3)
			steps := 0
			for s.T < p.end {
				if steps++; !s.Step(p.end) || steps > 1000 {
					t.Fatalf("%s: stopped at %v after %d steps", p.name, s.T, steps)
				}
				at := (s.T0 + s.T) / 2
				switch steps % 10 {
				case 8:
					s.Tolerate(rel / 3)
				case 9:
					s.Cut(s.T0 + 0.6*(s.T-s.T0))
					s.Start(s.T, s.H)
					s.Tolerate(rel)
					fmt.Fprintln(&out, steps, "cut to", s.T, s.H, s.Y, s.Rate(), s.Evaluations)
					continue
				}
				if steps <= 12 || s.T >= p.end { // else the problem has said what it has to say
					at = min(at, s.T)
					inside := make([]float64, len(p.begin))
					s.At(at, inside)
					fmt.Fprintln(&out, steps, s.T, s.H, s.Y, s.Rate(), inside, s.Component(at, 0), s.Begin()[0], s.Evaluations)
				}
			}
			fmt.Fprintln(&out, steps, "steps")
		}
	}
	kept.Same(t, "steps.txt", out.String())
}

// The points at which Root asks are the ones that were kept: of functions that are
// straight, bent, flat, and that jump.
func TestKeptRoots(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, c := range []struct {
		name string
		f    func(float64) float64
		a, b float64
	}{
		{"straight", func(x float64) float64 { return x - 0.3 }, 0, 1},
		{"bent", func(x float64) float64 { return x*x*x - 0.2 }, 0, 1},
		{"bent, backward", func(x float64) float64 { return x*x*x - 0.2 }, 1, 0},
		{"bent the other way", func(x float64) float64 { return 0.2 - math.Sqrt(x) }, 0, 1},
		{"lopsided", func(x float64) float64 { return math.Expm1(x-0.1) * (1 + 40*x*x*x) }, 0, 1},
		{"flat", func(x float64) float64 { return (x - 0.7) * (x - 0.7) * (x - 0.7) * (x - 0.7) * (x - 0.7) }, 0, 1},
		{"a jump", func(x float64) float64 { return math.Copysign(1, x-0.123456) }, 0, 1},
		{"a jump to much more", func(x float64) float64 {
			if x < 0.987654 {
				return -1e-9
			}
			return 1
		}, 0, 1},
		{"hit at once", func(x float64) float64 { return x - 0.5 }, 0, 1},
		{"at the end", func(x float64) float64 { return x - 1 }, 0, 1},
		{"no numbers apart", func(x float64) float64 { return x - 1 }, 1 - 1e-16, 1 + 3e-16},
	} {
		for _, tol := range []float64{1e-3, 1e-7, 0} {
			fmt.Fprintf(&out, "%s, within %g:", c.name, tol)
			x := Root(func(x float64) float64 { fmt.Fprint(&out, " ", x); return c.f(x) }, c.a, c.f(c.a), c.b, c.f(c.b), tol)
			fmt.Fprintln(&out, " ->", x)
		}
	}
	kept.Same(t, "roots.txt", out.String())
}
