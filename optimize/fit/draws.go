package fit

import (
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// drawn yields the rockets and sites of so many flights to come: what the fit
// leaves open drawn together, and what the brief says scatters and the fit did
// not estimate, each by its law.
func (r *Result) drawn(b *brief.Brief, draws int, seed uint64) iter.Seq2[model.Rocket, model.Site] {
	rocket, site := r.Fitted(b.Rocket, b.Site)
	axes := r.axes()
	laws := slices.DeleteFunc(scatter.Laws(slices.Concat(b.Day, b.Scatter)), func(l scatter.Law) bool {
		return slices.ContainsFunc(r.Estimates, func(e Estimate) bool { return e.Fitted && e.Key == l.Key })
	})
	return func(yield func(model.Rocket, model.Site) bool) {
		for _, z := range scatter.Normals(scatter.Forecast, draws, len(axes)+len(laws), seed) {
			own, around := rocket, site
			r.move(&own, &around, axes, z)
			x, y := own, around
			for k := range laws {
				laws[k].Deviate(z[len(axes)+k], laws[k].Value(&own, &around), &x, &y)
			}
			if !yield(x, y) {
				return
			}
		}
	}
}

// axes returns the main axes of the joint normal distribution of the fitted
// values, each as long as one deviation.
func (r *Result) axes() [][]float64 {
	if r.covariance == nil {
		return nil
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(r.covariance, true) {
		panic("fit: a covariance without eigenvalues") // it is finite and symmetric
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	axes := make([][]float64, r.covariance.SymmetricDim())
	for k, size := range eigen.Values(nil) {
		axes[k] = mat.Col(nil, k, &vectors)
		for i := range axes[k] {
			axes[k][i] *= math.Sqrt(max(size, 0))
		}
	}
	return axes
}

// move moves the fitted values of a rocket and a site by z[k] deviations along
// axis k, within their bounds.
func (r *Result) move(rocket *model.Rocket, site *model.Site, axes [][]float64, z []float64) {
	i := 0
	for _, e := range r.Estimates {
		if !e.Fitted {
			continue
		}
		v := e.Value
		for k, axis := range axes {
			v += z[k] * axis[i]
		}
		low, high := scatter.Bounds(e.Quantity, rocket)
		e.Set(rocket, site, min(max(v, low), high))
		i++
	}
}
