package constraints

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
)

func TestQuantile(t *testing.T) {
	for _, row := range []struct {
		why    string
		values []float64
		p      float64
		want   float64
	}{
		{"the median of two is their mean", []float64{1, 2}, 0.5, 1.5},
		{"the ends are the extremes", []float64{1, 4, 9}, 1, 9},
		{"the ends are the extremes", []float64{1, 4, 9}, 0, 1},
		{"one value is all quantiles", []float64{7}, 0.05, 7},
		{"between the order statistics: h = 0.9", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, 0.1, 1.9},
	} {
		if got := Quantile(row.values, row.p); math.Abs(got-row.want) > close {
			t.Errorf("%s: Quantile(%v, %v) = %v, want %v", row.why, row.values, row.p, got, row.want)
		}
	}
	if got := Quantile(nil, 0.5); !math.IsNaN(got) {
		t.Errorf("Quantile of nothing = %v, want NaN", got)
	}
}

// Of the numbers from 0 to 100 every quantile is its own percentage, and Spreads names
// each by it; their deviation is √(Σ(k − 50)²/100) = √858.5.
func TestQuantilesByTheirNames(t *testing.T) {
	var values []float64
	for k := range 101 {
		values = append(values, float64((k*37)%101)) // in no order
	}
	got := Spreads(values)
	want := Spread{Count: 101, Mean: 50, Deviation: math.Sqrt(858.5), P05: 5, P10: 10, P50: 50, P90: 90, P95: 95}
	for name, pair := range map[string][2]float64{
		"mean": {got.Mean, want.Mean}, "deviation": {got.Deviation, want.Deviation}, "P05": {got.P05, want.P05}, "P10": {got.P10, want.P10},
		"P50": {got.P50, want.P50}, "P90": {got.P90, want.P90}, "P95": {got.P95, want.P95}, "count": {float64(got.Count), 101},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-12 {
			t.Errorf("%s = %v, want %v", name, pair[0], pair[1])
		}
	}
	if !slices.IsSorted(values) {
		t.Error("the values are not in rising order afterwards")
	}
}

// What is left z deviations from the mean is counted from the nearer bound, of sizes
// where sizes count; a last digit beyond it is none.
func TestRobustSlack(t *testing.T) {
	for _, row := range []struct {
		why    string
		limit  Limit
		values []float64 // mean ± deviation, with n
		z      float64
		want   float64
	}{
		{"below a bound", Limit{AtLeast: -inf, AtMost: 10}, []float64{5, 7}, 2, 2},
		{"above a bound", Limit{AtLeast: 5, AtMost: inf}, []float64{5, 7}, 2, -1},
		{"the nearer one", Limit{AtLeast: 5, AtMost: 8}, []float64{5, 7}, 0.5, 0.5},
		{"of sizes", Limit{AtLeast: -inf, AtMost: 8, Size: true}, []float64{5, -7}, 1, 1},
		{"the same with signs", Limit{AtLeast: -inf, AtMost: 8}, []float64{5, -7}, 1, 3},
		{"all the same", Limit{AtLeast: -inf, AtMost: 8}, []float64{7, 7, 7}, 9, 1},
		{"on the bound but for rounding", Limit{AtLeast: -inf, AtMost: 8}, []float64{8 + 2e-12, 8 + 2e-12}, 1, 0},
	} {
		if got := row.limit.Robust(slices.Clone(row.values), row.z); math.Abs(got-row.want) > 1e-14 {
			t.Errorf("%s: %v, want %v", row.why, got, row.want)
		}
	}
}

// TestSpread compares moments and quantiles with gonum's. Its linear quantile
// is definition 4 of Hyndman & Fan: both lie between the same neighbours or
// one further, so they differ by no more than the largest gap near them.
func TestSpread(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	values := make([]float64, 500)
	for i := range values {
		values[i] = 3 + 2*rng.NormFloat64()
	}
	mean, deviation := stat.MeanStdDev(values, nil)
	got := Spreads(slices.Clone(values))
	// 1e-12: sums of 500 numbers in another order.
	if got.Count != 500 || math.Abs(got.Mean-mean) > 1e-12 || math.Abs(got.Deviation-deviation) > 1e-12 {
		t.Errorf("Spreads = %+v, want mean %v, deviation %v", got, mean, deviation)
	}
	slices.Sort(values)
	for p, q := range map[float64]float64{0.05: got.P05, 0.1: got.P10, 0.5: got.P50, 0.9: got.P90, 0.95: got.P95} {
		i := int(p * 500)
		gap := values[i+1] - values[i-2]
		if want := stat.Quantile(p, stat.LinInterp, values, nil); math.Abs(q-want) > gap {
			t.Errorf("quantile %v = %v, gonum %v, further than %v", p, q, want, gap)
		}
	}
	if got := Spreads([]float64{4}); got.Deviation != 0 || got.Mean != 4 || got.P95 != 4 {
		t.Errorf("Spreads of one value = %+v", got)
	}
	if got := Spreads([]float64{6, 4}); math.Abs(got.Deviation-math.Sqrt2) > rounding || got.Mean != 5 {
		t.Errorf("Spreads of 6 and 4 = %+v, want mean 5, deviation √2", got)
	}
	if got := Spreads(nil); got != (Spread{}) {
		t.Errorf("Spreads of nothing = %+v, want zeros", got)
	}
}

// Of 0 to 100 the p-quantile is 100 p, in whatever order they come.
func TestQuantilesOfASpread(t *testing.T) {
	values := make([]float64, 101)
	for i := range values {
		values[i] = float64((i * 37) % 101)
	}
	got := Spreads(values)
	// The variance of n whole numbers in a row is (n² − 1)/12 of the population,
	// n (n + 1)/12 of a sample.
	want := Spread{Count: 101, Mean: 50, Deviation: math.Sqrt(101 * 102 / 12.0), P05: 5, P10: 10, P50: 50, P90: 90, P95: 95}
	if math.Abs(got.Deviation-want.Deviation) < 1e-13*want.Deviation { // the root of a sum of 101 squares
		got.Deviation = want.Deviation
	}
	if got != want {
		t.Errorf("Spreads of 0 to 100 = %+v, want %+v", got, want)
	}
}

func TestRobust(t *testing.T) {
	for _, row := range []struct {
		why    string
		limit  Limit
		values []float64
		want   float64
	}{
		{"below: the mean, 3, less two deviations of 1", Limit{AtLeast: 0.5, AtMost: inf}, []float64{2, 4, 2, 4}, 0.5},
		{"above", Limit{AtLeast: -inf, AtMost: 6}, []float64{2, 4, 2, 4}, 1},
		{"the nearer side of two", Limit{AtLeast: 0, AtMost: 6.5}, []float64{2, 4}, 1},
		{"sizes: 3 on either side does not scatter", Limit{AtLeast: -inf, AtMost: 5, Size: true}, []float64{-3, 3}, 2},
	} {
		if got := row.limit.Robust(slices.Clone(row.values), 2); math.Abs(got-row.want) > close {
			t.Errorf("%s: Robust(%v, 2) = %v, want %v", row.why, row.values, got, row.want)
		}
	}
}
