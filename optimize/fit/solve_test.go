package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestBounds holds that a bound that is in the way is reached and held, and the
// rest solved as if it were given.
func TestBounds(t *testing.T) {
	// y = a + b x through (0, 1), (1, 3), (2, 5.5): b free is 2.25, a is 0.9167.
	y := []float64{1, 3, 5.5}
	p := &Problem{Count: 3, Lower: []float64{-10, -10}, Upper: []float64{10, 2}, Residuals: func(x, dst []float64) bool {
		for i := range dst {
			dst[i] = x[0] + x[1]*float64(i) - y[i]
		}
		return true
	}}
	s, err := Solve(p, []float64{0, 50})
	if err != nil {
		t.Fatal(err)
	}
	want := (1 + 1 + 1.5) / 3. // the mean of y − 2 x
	if s.X[1] != 2 || math.Abs(s.X[0]-want) > 1e-9 {
		t.Errorf("%v, want %v, 2", s.X, want)
	}
	p.Upper = nil
	s, err = Solve(p, []float64{0, 50})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.X[1]-2.25) > 1e-9 || math.Abs(s.X[0]-11./12) > 1e-9 {
		t.Errorf("%v, want 11/12, 2.25", s.X)
	}
}

func TestSolveRefuses(t *testing.T) {
	never := &Problem{Count: 2, Residuals: func(x, dst []float64) bool { return false }}
	for _, c := range []struct {
		why   string
		start []float64
		want  string
	}{
		{"nothing there", []float64{1}, "fit: nothing can be computed at the start [1]"},
		{"too few", []float64{1, 2, 3}, "fit: 2 residuals, want at least 3, one for each unknown"},
	} {
		if _, err := Solve(never, c.start); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
}

// TestHoles holds that a search walks round places that have no residuals.
func TestHoles(t *testing.T) {
	p := &Problem{Count: 2, Residuals: func(x, dst []float64) bool {
		dst[0], dst[1] = x[0]-1, 10*(x[1]-x[0]*x[0])
		return x[0] > -1.3 && math.Abs(x[0]-0.9) > 0.01
	}}
	s, err := Solve(p, []float64{-1.2, 1})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.X[0]-1) > 1e-6 || math.Abs(s.X[1]-1) > 1e-6 {
		t.Errorf("%v, want 1, 1", s.X)
	}
}

// TestHuber holds the constant to what it is chosen for: the mean by this loss
// has 1/0.95 of the variance of the plain mean, for normal noise. The efficiency
// is (mean ψ′)²/(mean ψ²), an integral.
func TestHuber(t *testing.T) {
	slopes, squares := 0.0, 0.0
	const h = 1e-3
	for x := -8.0; x < 8; x += h {
		density := distuv.UnitNormal.Prob(x) * h
		_, w := Huber(x)
		squares += w * x * w * x * density
		if w == 1 {
			slopes += density
		}
	}
	if e := slopes * slopes / squares; math.Abs(e-0.95) > 1e-3 {
		t.Errorf("efficiency %v, want 0.95", e)
	}
	// Cost and weight belong together: the cost's slope is 2 w r.
	for _, r := range []float64{-3, -1, 0.5, 1.3, 1.4, 20} {
		up, _ := Huber(r + 1e-6)
		down, _ := Huber(r - 1e-6)
		_, w := Huber(r)
		if got := (up - down) / 2e-6; math.Abs(got-2*w*r) > 1e-6 {
			t.Errorf("at %v: slope %v, want %v", r, got, 2*w*r)
		}
	}
	if s := spread([]float64{-1, 1, 2, -0.5, 0.1}); math.Abs(s-1.4826) > 1e-4 {
		t.Errorf("spread %v, want 1.4826", s)
	}
}

// TestOutliers holds that one reading in ten that is far off hardly moves a
// line, which plain squares would lose.
func TestOutliers(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	const n = 200
	y := make([]float64, n)
	for i := range y {
		y[i] = 2 + 0.5*float64(i) + rng.NormFloat64()
		if i%10 == 3 {
			y[i] += 60
		}
	}
	p := &Problem{Count: n, Residuals: func(x, dst []float64) bool {
		for i := range dst {
			dst[i] = x[0] + x[1]*float64(i) - y[i]
		}
		return true
	}}
	plain, err := Solve(p, []float64{0, 0})
	if err != nil {
		t.Fatal(err)
	}
	p.Loss = Huber
	robust, err := Solve(p, []float64{0, 0})
	if err != nil {
		t.Fatal(err)
	}
	// The tenth pulls with 1.345 each: 0.1·1.345/0.74 = 0.18 on the level.
	if off := math.Abs(robust.X[0] + 100*robust.X[1] - 52); off > 0.5 {
		t.Errorf("middle off by %v with Huber's loss", off)
	}
	if off := math.Abs(plain.X[0] + 100*plain.X[1] - 52); off < 4 {
		t.Errorf("middle off by %v with squares, too little for this test to tell", off)
	}
}
