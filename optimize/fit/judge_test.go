package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestJudge holds the factor of the variances on made-up residuals: 1/0.95 for
// normal ones, the efficiency that Huber's constant is chosen for; that times
// (1 + ρ)/(1 − ρ) where neighbours hang together by ρ, with as many fewer
// readings; and no less than 1 where half of the readings are worthless.
func TestJudge(t *testing.T) {
	const n, p = 20000, 4
	tr := &track{readings: make([]reading, n)}
	for _, c := range []struct {
		why                  string
		rho                  float64
		inflate, effect, tol float64
	}{
		{"independent", 0, 1 / 0.95, n - p, 0.02},
		{"hanging together", 0.5, 3 / 0.95, n / 3, 0.1}, // less: cut-off noise hangs together less,
		{"hanging together the other way", -0.5, 1 / 0.95, n - p, 0.02},
	} {
		rng := rand.New(rand.NewPCG(1, 9))
		r := make([]float64, n)
		last := 0.0
		for i := range r {
			last = c.rho*last + math.Sqrt(1-c.rho*c.rho)*rng.NormFloat64()
			r[i] = last
		}
		f := &fitter{count: n, tracks: []*track{tr}, active: make([]*unknown, p)}
		f.judge(r, mat.NewDense(n, 1, r))
		if math.Abs(f.inflate/c.inflate-1) > c.tol || math.Abs(f.effect/c.effect-1) > c.tol {
			t.Errorf("%s: variances times %v, %v readings' worth, want %v, %v", c.why, f.inflate, f.effect, c.inflate, c.effect)
		}
	}
}

// TestCorrelatedWithinKinds holds that a reading is compared with the last of its
// kind in its own log, not with what stands beside it.
func TestCorrelatedWithinKinds(t *testing.T) {
	a := &track{readings: []reading{{of: heightChannel}, {of: speedChannel}, {of: heightChannel}, {of: speedChannel}}}
	b := &track{readings: []reading{{of: heightChannel}, {of: heightChannel}}}
	f := &fitter{tracks: []*track{a, b}}
	// Heights 1, 1 and 2, 1; speeds 1, −1: (1·1 − 1·1 + 2·1)/(4 + 5).
	if got, want := f.correlated([]float64{1, 1, 1, -1, 2, 1}), 2./9; math.Abs(got-want) > 1e-15 {
		t.Errorf("correlated by %v, want %v", got, want)
	}
}

// TestSpread holds the spread of the unknowns to the inverse of JᵀJ, whatever the
// units of the columns, and to be finite where columns depend on each other or
// say nothing.
func TestSpread(t *testing.T) {
	const rows = 40
	units := []float64{1, 1e4, 1e-4}
	rng := rand.New(rand.NewPCG(3, 1))
	j, plain := mat.NewDense(rows, 3, nil), mat.NewDense(rows, 3, nil)
	for i := range rows {
		a, b := rng.NormFloat64(), rng.NormFloat64()
		for k, v := range []float64{a, a + 0.3*b, rng.NormFloat64()} {
			plain.Set(i, k, v)
			j.Set(i, k, units[k]*v)
		}
	}
	var product, inverse mat.Dense
	product.Mul(plain.T(), plain)
	if err := inverse.Inverse(&product); err != nil {
		t.Fatal(err)
	}
	inverse.Apply(func(a, b int, v float64) float64 { return v / (units[a] * units[b]) }, &inverse)
	s := newSpreadOf(j)
	for a := range 3 {
		for b := range 3 {
			if got, want := s.covariance(a, b), inverse.At(a, b); math.Abs(got-want) > 1e-6*math.Sqrt(inverse.At(a, a)*inverse.At(b, b)) {
				t.Errorf("covariance of %d and %d %v, want %v", a, b, got, want)
			}
			if got, want := s.correlation(a, b), inverse.At(a, b)/math.Sqrt(inverse.At(a, a)*inverse.At(b, b)); math.Abs(got-want) > 1e-6 {
				t.Errorf("correlation of %d and %d %v, want %v", a, b, got, want)
			}
		}
	}
	if s.correlation(0, 1) > -0.9 || s.condition < 3 || s.condition > 12 {
		t.Errorf("correlation %v, condition %v", s.correlation(0, 1), s.condition)
	}
	for i := range rows {
		j.Set(i, 2, 0)
	}
	if s := newSpreadOf(j); !math.IsInf(s.condition, 1) || s.variance(2) < 1e6*s.variance(0) || math.IsInf(s.variance(2), 0) {
		t.Errorf("a column of zeros: condition %v, variances %v and %v", s.condition, s.variance(0), s.variance(2))
	}
	for i := range rows {
		j.Set(i, 2, 5*j.At(i, 0))
	}
	if s := newSpreadOf(j); !math.IsInf(s.condition, 1) || s.correlation(0, 2) > -0.999 || math.IsInf(s.variance(2), 0) {
		t.Errorf("a column five times another: condition %v, correlation %v", s.condition, s.correlation(0, 2))
	}
}

// TestJudgeFew holds that unknowns take their readings off: twelve residuals of
// one deviation, with four unknowns, are noise of 12/8.
func TestJudgeFew(t *testing.T) {
	r := make([]float64, 12)
	for i := range r {
		r[i] = float64(1 - 2*(i%2))
	}
	f := &fitter{count: 12, tracks: []*track{{readings: make([]reading, 12)}}, active: make([]*unknown, 4)}
	f.judge(r, mat.NewDense(12, 1, r))
	if math.Abs(f.inflate-1.5) > 1e-12 || f.effect != 8 {
		t.Errorf("variances times %v, %v readings' worth, want 1.5, 8", f.inflate, f.effect)
	}
}
