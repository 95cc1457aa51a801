package optimize_test

import (
	"math"
	"testing"

	"ullage/optimize"
	"ullage/testdata/problems"
)

// line calls f with n numbers from 0 to 1.
func line(n int, f func(t float64)) {
	for i := range n + 1 {
		f(float64(i) / float64(n))
	}
}

// along lists designs whose first variables run from 0 to 1 and whose others
// have the value rest.
func along(p problems.Problem, rest float64) [][]float64 {
	var out [][]float64
	x := func(first ...float64) {
		d := make([]float64, len(p.From))
		for i := range d {
			d[i] = rest
		}
		copy(d, first)
		out = append(out, d)
	}
	if p.Goals == 2 {
		line(20000, func(t float64) { x(t) })
	} else {
		line(200, func(t float64) { line(200, func(u float64) { x(t, u) }) })
	}
	return out
}

func bnh() (out [][]float64) {
	line(5000, func(t float64) { out = append(out, []float64{3 * t, 3 * t}, []float64{3 + 2*t, 3}) })
	return out
}

// srn and tnk list designs among which the front is: what misses a limit or is
// dominated does no harm.
func srn() (out [][]float64) {
	line(20000, func(t float64) {
		y := 20 * t
		angle := math.Pi * t
		out = append(out,
			[]float64{-2.5, y}, []float64{3*y - 10 - 1e-12, y},
			[]float64{-15 * math.Sin(angle) * (1 - 1e-12), 15 * math.Cos(angle) * (1 - 1e-12)})
	})
	return out
}

func tnk() (out [][]float64) {
	line(20000, func(t float64) {
		angle := math.Pi / 2 * t
		r := math.Sqrt(1+0.1*math.Cos(16*angle)) * (1 + 1e-12)
		out = append(out, []float64{r * math.Sin(angle), r * math.Cos(angle)})
	})
	return out
}

// osy lists the five pieces of the front.
//
// Source: Deb, Multi-Objective Optimization using Evolutionary Algorithms, Wiley (2001); [memory].
func osy() (out [][]float64) {
	line(5000, func(t float64) {
		v := 1 + 4*t
		edge := 4.056 + 0.944*t
		short := 1 + (1+math.Sqrt(3)-1e-12)*t
		out = append(out,
			[]float64{5, 1, v, 0, 5, 0}, []float64{5, 1, v, 0, 1, 0}, []float64{edge, (edge-2)/3 + 1e-12, 1, 0, 1, 0},
			[]float64{0, 2, short, 0, 1, 0}, []float64{t, 2 - t, 1, 0, 1, 0})
	})
	return out
}

// Designs of the published sets dominate nearly the stated volume, and never more.
func TestVolumes(t *testing.T) {
	limited := map[string]func() [][]float64{"BNH": bnh, "SRN": srn, "TNK": tnk, "OSY": osy}
	for _, p := range problems.All() {
		rest, short := 0.0, 4e-4 // of 20 000 designs, thin at the ends of ZDT6
		if p.Name == "DTLZ1" || p.Name == "DTLZ2" {
			rest = 0.5
		}
		if p.Goals == 3 {
			short = 8e-3 // of 200 by 200
		}
		var designs [][]float64
		if p.Limits == 0 {
			designs = along(p, rest)
		} else {
			designs = limited[p.Name]()
		}
		var front [][]float64
		for _, x := range designs {
			goals, violations := make([]float64, p.Goals), make([]float64, p.Limits)
			if p.Evaluate(x, goals, violations) >= 0 {
				front = append(front, goals)
			}
		}
		got := optimize.Hypervolume(front, p.Reference)
		if missed := 1 - got/p.Volume; missed < -1e-9 || missed > short {
			t.Errorf("%s, %d goals: %d designs miss %g of the volume, want 0 to %g", p.Name, p.Goals, len(front), missed, short)
		}
	}
}

// The published best designs of one goal have the stated value, to the digits
// that are published, and are on their limits.
func TestSingleBests(t *testing.T) {
	best := map[string][]float64{
		"Rastrigin":          {0, 0, 0, 0, 0, 0},
		"Rastrigin by steps": {0, 0, 0, 0, 0, 0},
		"Rosenbrock":         {1, 1, 1, 1, 1},
		"g04":                {78, 33, 29.995256025682, 45, 36.775812905788},
		"g06":                {14.095, 0.842960790},
		"welded beam":        {0.244369, 6.217520, 8.291471, 0.244369},
		"spring":             {0.051689061, 0.356717736, 11.288965984},
		"pressure vessel":    {0.8125, 0.4375, 42.0984455958549, 176.6365958424394},
	}
	for _, p := range problems.Single() {
		goals, violations := make([]float64, 1), make([]float64, p.Limits)
		p.Evaluate(best[p.Name], goals, violations)
		want := p.Reference[0] - p.Volume
		// Six digits of a design make six of its value; a limit of the beam is a
		// stress of some 13 600.
		if math.Abs(goals[0]-want) > 2e-6*(1+math.Abs(want)) {
			t.Errorf("%s: the best design has %v, want %v", p.Name, goals[0], want)
		}
		for i, v := range violations {
			if v > 0.2 {
				t.Errorf("%s: the best design misses limit %d by %v", p.Name, i, v)
			}
		}
	}
}
