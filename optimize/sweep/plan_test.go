package sweep_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"ullage/optimize"
	"ullage/optimize/sweep"
)

func list(p sweep.Plan, variables int) [][]float64 {
	all := make([][]float64, p.Size)
	for i := range all {
		all[i] = make([]float64, variables)
		p.At(int64(i), all[i])
	}
	return all
}

func TestGridCounts(t *testing.T) {
	variables := []optimize.Variable{
		{Name: "a", From: 1, To: 2, Step: 0.5},
		{Name: "b", Choices: []float64{9, 7}},
		{Name: "c", From: 4, To: 4},
	}
	p, err := sweep.Grid(variables)
	if err != nil {
		t.Fatal(err)
	}
	want := [][]float64{{1, 9, 4}, {1, 7, 4}, {1.5, 9, 4}, {1.5, 7, 4}, {2, 9, 4}, {2, 7, 4}}
	if got := list(p, 3); !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("designs = %v, want %v", got, want)
	}
}

// 2⁵³ designs can be numbered, one more cannot.
func TestGridIsBounded(t *testing.T) {
	of := func(values float64) optimize.Variable { return optimize.Variable{From: 1, To: values, Step: 1} }
	p, err := sweep.Grid([]optimize.Variable{of(1 << 27), of(1 << 26)})
	if err != nil || p.Size != 1<<53 {
		t.Errorf("2^27 by 2^26 values: %d designs, %v, want 2^53", p.Size, err)
	}
	x := make([]float64, 2)
	if p.At(p.Size-1, x); x[0] != 1<<27 || x[1] != 1<<26 {
		t.Errorf("the last design is %v, want the last values", x)
	}
	if _, err := sweep.Grid([]optimize.Variable{of(1 << 27), of(1<<26 + 1)}); err == nil {
		t.Error("a grid of more than 2^53 designs is not refused")
	}
}

func TestGridRefuses(t *testing.T) {
	long := optimize.Variable{Name: "long", From: 0, To: 1e9, Step: 1}
	for _, c := range []struct {
		variables []optimize.Variable
		want      string
	}{
		{[]optimize.Variable{{Name: "chamber.fill", From: 0.1, To: 0.4}}, "chamber.fill: no step and no choices, want one of them for a grid"},
		{[]optimize.Variable{long, long}, "long: more than 2^53 combinations, want fewer steps"},
	} {
		if _, err := sweep.Grid(c.variables); err == nil || err.Error() != c.want {
			t.Errorf("Grid(%v) = %v, want %s", c.variables, err, c.want)
		}
	}
}

// The sequence is gonum's, point by point instead of a matrix at a time. Both
// permute in the same order, so that one source of random numbers gives the
// same bits.
func TestDrawsAreGonumsHalton(t *testing.T) {
	const n, d, seed = 3000, 7, 42
	want := mat.NewDense(n, d, nil)
	samplemv.Halton{
		Kind: samplemv.Owen, Q: distmv.NewUnitUniform(d, nil), Src: rand.NewPCG(seed, sweep.Purpose),
	}.Sample(want)
	variables := slices.Repeat([]optimize.Variable{{From: 0, To: 1}}, d)
	for i, got := range list(sweep.Draws(variables, n, seed), d) {
		if !slices.Equal(got, want.RawRowView(i)) {
			t.Fatalf("point %d = %v, want %v", i, got, want.RawRowView(i))
		}
	}
}

// Each value of a stepped variable is as likely as any other, to one point in
// each stretch of the sequence that is balanced in its base.
func TestDrawsAreEven(t *testing.T) {
	v := optimize.Variable{From: 10, To: 13, Step: 1}
	seen := map[float64]int{}
	for _, x := range list(sweep.Draws([]optimize.Variable{v}, 1<<10, 3), 1) {
		seen[x[0]]++
	}
	count, value := v.Values()
	for k := range count {
		if n := seen[value(k)]; n != 1<<8 {
			t.Errorf("value %v was drawn %d times, want %d", value(k), n, 1<<8)
		}
	}
	if len(seen) != 4 {
		t.Errorf("values %v, want 4", seen)
	}
}

func TestDrawsFollowTheSeed(t *testing.T) {
	v := []optimize.Variable{{From: 0, To: 1}, {From: -1, To: 1}}
	short, long, other := list(sweep.Draws(v, 10, 1), 2), list(sweep.Draws(v, 20, 1), 2), list(sweep.Draws(v, 10, 2), 2)
	if !slices.EqualFunc(short, long[:10], slices.Equal) {
		t.Errorf("first points %v, want those of the longer list, %v", short, long[:10])
	}
	if slices.EqualFunc(short, other, slices.Equal) {
		t.Error("two seeds give the same points")
	}
}
