package optimize

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestHypervolume(t *testing.T) {
	for _, c := range []struct {
		why    string
		points [][]float64
		ref    []float64
		want   float64
	}{
		{"three rectangles; the fourth point adds nothing", [][]float64{{1, 0}, {.5, .5}, {0, 1}, {1.5, .75}}, []float64{2, 2}, 3.25},
		{"nothing", nil, []float64{1, 1}, 0},
		{"on the reference is not below it", [][]float64{{1, 0}, {0, 1}}, []float64{1, 1}, 0},
		{"one goal", [][]float64{{3}, {1}, {2}}, []float64{4}, 3},
		{"a box", [][]float64{{1, 2, 3}}, []float64{2, 4, 6}, 6},
		{"twice the same", [][]float64{{0, 0, 0}, {0, 0, 0}}, []float64{1, 1, 2}, 2},
		{"two boxes of 2 that share 1", [][]float64{{0, 0, 1}, {0, 1, 0}}, []float64{1, 2, 2}, 3},
		{"four goals", [][]float64{{0, 0, 0, 1}, {1, 0, 0, 0}}, []float64{2, 1, 1, 2}, 3},
		{"five goals", [][]float64{{0, 0, 0, 0, 1}, {1, 0, 0, 0, 0}}, []float64{2, 1, 1, 1, 2}, 3},
	} {
		if got := Hypervolume(c.points, c.ref); math.Abs(got-c.want) > 1e-14 {
			t.Errorf("%s: Hypervolume = %v, want %v", c.why, got, c.want)
		}
	}
}

// inclusionExclusion sums the boxes of all subsets with alternating signs.
func inclusionExclusion(points [][]float64, ref []float64) float64 {
	sum := 0.0
	for set := 1; set < 1<<len(points); set++ {
		corner := slices.Repeat([]float64{math.Inf(-1)}, len(ref))
		sign := -1.0
		for i, p := range points {
			if set>>i&1 == 0 {
				continue
			}
			sign = -sign
			for k := range corner {
				corner[k] = max(corner[k], p[k])
			}
		}
		box := 1.0
		for k := range corner {
			box *= max(ref[k]-corner[k], 0)
		}
		sum += sign * box
	}
	return sum
}

func TestHypervolumeAgainstInclusionExclusion(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 0))
	for m := 1; m <= mostGoals; m++ {
		ref := slices.Repeat([]float64{1}, m)
		for range 60 {
			points := make([][]float64, 1+rng.IntN(10))
			for i := range points {
				points[i] = make([]float64, m)
				for k := range points[i] {
					// Coarse values make ties; some lie beyond the reference.
					points[i][k] = float64(rng.IntN(9)) / 7
				}
			}
			want := inclusionExclusion(points, ref)
			// 1023 terms of at most 1, each rounded: below 1e-12.
			if got := Hypervolume(points, ref); math.Abs(got-want) > 1e-12 {
				t.Fatalf("Hypervolume(%v) = %v, want %v", points, got, want)
			}
		}
	}
}

// A fine sample of a front misses volume in proportion to its spacing: the
// staircase lies above the curve by less than one step in each direction.
func TestHypervolumeOfSampledFronts(t *testing.T) {
	const n = 20000
	at := func(f func(x float64) (float64, float64)) [][]float64 {
		points := make([][]float64, n+1)
		for i := range points {
			a, b := f(float64(i) / n)
			points[i] = []float64{a, b}
		}
		return points
	}
	for _, c := range []struct {
		why    string
		points [][]float64
		ref    []float64
		want   float64
	}{
		{"ZDT1 and ZDT4: f₂ = 1 − √f₁", at(func(x float64) (float64, float64) { return x, 1 - math.Sqrt(x) }), []float64{1.1, 1.1}, 1.21 - 1.0/3},
		{"ZDT2: f₂ = 1 − f₁²", at(func(x float64) (float64, float64) { return x, 1 - x*x }), []float64{1.1, 1.1}, 1.21 - 2.0/3},
		{"ZDT3", at(func(x float64) (float64, float64) { return x, 1 - math.Sqrt(x) - x*math.Sin(10*math.Pi*x) }), []float64{1.1, 1.1}, zdt3().volume},
		{"ZDT6: f₁ from 0.28078 to 1", at(func(x float64) (float64, float64) {
			f := 1 - math.Exp(-4*x)*math.Pow(math.Sin(6*math.Pi*x), 6)
			return f, 1 - f*f
		}), []float64{1.1, 1.1}, zdt6().volume},
		{"DTLZ1, two goals, reference 1: f₁ + f₂ = ½", at(func(x float64) (float64, float64) { return x / 2, (1 - x) / 2 }), []float64{1, 1}, 7.0 / 8},
		{"DTLZ2, two goals: quarter circle", at(func(x float64) (float64, float64) { return math.Cos(x * math.Pi / 2), math.Sin(x * math.Pi / 2) }), []float64{1.1, 1.1}, 1.21 - math.Pi/4},
	} {
		got := Hypervolume(c.points, c.ref)
		if got > c.want+1e-12 || got < c.want-6.0/n {
			t.Errorf("%s: Hypervolume = %.8f, want %.8f or just below", c.why, got, c.want)
		}
	}
}

func TestHypervolumeLeavesItsArgumentsAlone(t *testing.T) {
	points := [][]float64{{1, 0, 2}, {.5, .5, 1}, {0, 1, 0}}
	Hypervolume(points, []float64{3, 3, 3})
	if points[0][2] != 2 || points[1][2] != 1 || points[2][2] != 0 {
		t.Errorf("points after Hypervolume = %v, want their order kept", points)
	}
}
