package sweep_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"ullage/optimize"
	"ullage/optimize/sweep"
)

// Of the Ishigami function with a = 7, b = 0.1 the first-order indices are known:
// 0.3139, 0.4424 and 0 (Saltelli, Chan & Scott, Sensitivity Analysis, Wiley 2000).
func TestRatioIsTheFirstOrderIndex(t *testing.T) {
	const n, groups = 1 << 16, 40
	variables := make([]optimize.Variable, 3)
	for i := range variables {
		variables[i] = optimize.Variable{Name: string(rune('a' + i)), From: -math.Pi, To: math.Pi}
	}
	plan := sweep.Draws(variables, n, 1)
	var ratios [3]*sweep.Ratio
	for i := range ratios {
		ratios[i] = sweep.NewRatio(groups)
	}
	x := make([]float64, 3)
	for i := range int64(n) {
		plan.At(i, x)
		f := math.Sin(x[0]) + 7*math.Pow(math.Sin(x[1]), 2) + 0.1*math.Pow(x[2], 4)*math.Sin(x[0])
		for k, r := range ratios {
			r.Add(min(int((x[k]+math.Pi)/(2*math.Pi)*groups), groups-1), 1e4+f)
		}
	}
	for k, want := range []float64{0.3139, 0.4424, 0} {
		// A group is 1/40 of the range wide, within which some 0.3 % of the variance stays.
		if got, ok := ratios[k].Share(); !ok || math.Abs(got-want) > 0.005 {
			t.Errorf("variable %d: %.4f, %v, want %.4f ± 0.005", k+1, got, ok, want)
		}
	}
}

// Groups that have nothing to do with the output explain nothing, however few
// rows they hold: the plain correlation ratio would be (k − 1)/(n − 1), here 0.33.
func TestRatioOfChance(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	const repeats, groups, rows = 2000, 11, 31
	sum := 0.0
	for range repeats {
		r := sweep.NewRatio(groups)
		for i := range rows {
			r.Add(i%groups, random.NormFloat64())
		}
		share, ok := r.Share()
		if !ok {
			t.Fatal("no share")
		}
		sum += share
	}
	if mean := sum / repeats; math.Abs(mean) > 0.01 {
		t.Errorf("mean share %.4f, want 0 ± 0.01", mean)
	}
}

func TestRatioThatIsNone(t *testing.T) {
	for _, row := range []struct {
		why    string
		groups []int
		values []float64
	}{
		{"no rows", nil, nil},
		{"one value", []int{0, 1, 2, 0}, []float64{1.1, 1.1, 1.1, 1.1}},
		{"always 0", []int{0, 1, 2, 0}, []float64{0, 0, 0, 0}},
		{"one group", []int{1, 1, 1}, []float64{1, 2, 3}},
		{"a row a group", []int{0, 1, 2}, []float64{1, 2, 3}},
	} {
		r := sweep.NewRatio(3)
		for i, g := range row.groups {
			r.Add(g, row.values[i])
		}
		if share, ok := r.Share(); ok {
			t.Errorf("%s: %v, want none", row.why, share)
		}
	}
	r := sweep.NewRatio(2)
	for i := range 6 {
		r.Add(i%2, float64(i%2))
	}
	if share, ok := r.Share(); !ok || share != 1 {
		t.Errorf("a number that the group alone decides: %v, %v, want 1", share, ok)
	}
}

// What differs in the twelfth digit varies, what does so below it is rounding.
func TestRatioBelowRounding(t *testing.T) {
	for spread, want := range map[float64]bool{1.3e-12: true, 0.8e-12: false} {
		for _, mean := range []float64{1, -1024} {
			r := sweep.NewRatio(2)
			for i := range 40 {
				r.Add(i%2, mean*(1+spread*float64(1-i&2)))
			}
			if _, ok := r.Share(); ok != want {
				t.Errorf("outputs of %v that lie off it by %v: varies %v, want %v", mean, spread, ok, want)
			}
		}
	}
}
