package fit

import (
	"iter"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/optimize/brief"
)

// drawn yields the rockets and sites of so many flights to come: what the fit
// leaves open drawn together, and what the brief says scatters.
func (r *Result) drawn(b *brief.Brief, draws int, seed uint64) iter.Seq2[model.Rocket, model.Site] {
	rocket, site := r.Fitted(b.Rocket, b.Site)
	rng := rand.New(rand.NewPCG(seed, 0x6669)) // a stream of its own
	move := r.drawer()
	return func(yield func(model.Rocket, model.Site) bool) {
		for range draws {
			x, y := rocket, site
			move(&x, &y, rng)
			scatter(b, r, &x, &y, rng)
			if !yield(x, y) {
				return
			}
		}
	}
}

// drawer returns a function that moves the fitted values of a rocket and a site
// by one draw of their joint normal distribution, cut at their ranges.
func (r *Result) drawer() func(*model.Rocket, *model.Site, *rand.Rand) {
	if r.covariance == nil {
		return func(*model.Rocket, *model.Site, *rand.Rand) {}
	}
	n := r.covariance.SymmetricDim()
	var eigen mat.EigenSym
	if !eigen.Factorize(r.covariance, true) {
		panic("fit: a covariance without eigenvalues") // it is finite and symmetric
	}
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	sizes := eigen.Values(nil)
	return func(rocket *model.Rocket, site *model.Site, rng *rand.Rand) {
		moved := make([]float64, n)
		for k, size := range sizes {
			z := rng.NormFloat64() * math.Sqrt(max(size, 0))
			for i := range moved {
				moved[i] += z * axes.At(i, k)
			}
		}
		k := 0
		for _, e := range r.Estimates {
			if e.Fitted {
				e.Set(rocket, site, min(max(e.Value+moved[k], e.Min), e.Max))
				k++
			}
		}
	}
}

// scatter moves what the brief says scatters and the fit did not estimate.
func scatter(b *brief.Brief, r *Result, rocket *model.Rocket, site *model.Site, rng *rand.Rand) {
	for _, s := range slices.Concat(b.Day, b.Scatter) {
		z := min(max(rng.NormFloat64(), -3), 3)
		if slices.ContainsFunc(r.Estimates, func(e Estimate) bool { return e.Fitted && e.Key == s.Key }) {
			continue
		}
		v := s.Value(rocket, site)
		s.Set(rocket, site, min(max(v+z*s.Sigma(v), s.Min), s.Max))
	}
}
