package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A spreadOf is what a Jacobian says about the spread of the unknowns, for
// residuals of standard deviation 1: the inverse of JᵀJ, by way of the singular
// values of J with its columns brought to length 1, so that units do not count.
type spreadOf struct {
	n         int
	inverse   []float64 // n×n
	condition float64   // of the scaled columns; +Inf where some are dependent
}

// dependent is the ratio of singular values below which columns count as
// dependent: what double precision leaves of finite differences.
const dependent = 1e-9

// newSpreadOf works it out. A column of zeros, or one that depends on others,
// has the variance that a singular value at the limit of dependence gives: large
// beyond any use, but finite.
func newSpreadOf(j *mat.Dense) spreadOf {
	_, n := j.Dims()
	s := spreadOf{n: n, inverse: make([]float64, n*n), condition: 1}
	scaled, length := toLengthOne(j)
	longest := slices.Max(length)
	var svd mat.SVD
	if !svd.Factorize(scaled, mat.SVDThin) {
		s.condition = math.Inf(1)
		return s
	}
	values := svd.Values(nil)
	var v mat.Dense
	svd.VTo(&v)
	if least := values[n-1]; least > dependent*values[0] {
		s.condition = values[0] / least
	} else {
		s.condition = math.Inf(1)
	}
	for a := range n {
		for b := range n {
			sum := 0.0
			for k, value := range values {
				value = max(value, dependent*values[0], math.SmallestNonzeroFloat32)
				sum += v.At(a, k) * v.At(b, k) / (value * value)
			}
			s.inverse[a*n+b] = sum / (positive(length[a], longest) * positive(length[b], longest))
		}
	}
	return s
}

// toLengthOne returns a matrix with its columns brought to length 1, those of
// zeros apart, and their lengths.
func toLengthOne(j *mat.Dense) (scaled *mat.Dense, length []float64) {
	rows, n := j.Dims()
	scaled, length = mat.NewDense(rows, n, nil), make([]float64, n)
	for k := range n {
		length[k] = mat.Norm(j.ColView(k), 2)
		for i := range rows {
			if length[k] > 0 {
				scaled.Set(i, k, j.At(i, k)/length[k])
			}
		}
	}
	return scaled, length
}

// positive returns the length of a column, or of one so short that it says
// nothing.
func positive(length, longest float64) float64 {
	return max(length, dependent*longest, math.SmallestNonzeroFloat32)
}

func (s *spreadOf) variance(k int) float64      { return s.inverse[k*s.n+k] }
func (s *spreadOf) covariance(a, b int) float64 { return s.inverse[a*s.n+b] }

// correlation is 0 where one of the two has no variance to speak of.
func (s *spreadOf) correlation(a, b int) float64 {
	return s.covariance(a, b) / math.Sqrt(s.variance(a)*s.variance(b))
}
