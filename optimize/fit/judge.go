package fit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// judge works out how certain the active unknowns are, from residuals in
// deviations and their derivatives.
//
// The variance is that of an M-estimator,
//
//	K² Σψ²/(n − p) / (mean ψ′)² (JᵀJ)⁻¹,  K = 1 + (p/n) (1 − m)/m,  m = mean ψ′
//
// (Huber, Robust Statistics, 1981, section 7.6 †), times (1 + ρ)/(1 − ρ) where
// neighbours are correlated by ρ beyond chance: what n samples of such noise
// are worth, seen over times much longer than it hangs together (any text on
// time series).
func (f *fitter) judge(r []float64, j *mat.Dense) {
	n, p := float64(f.count), float64(len(f.active))
	squares, inside := 0.0, 0.0
	psi := make([]float64, len(r))
	for i, v := range r {
		_, w := Huber(v)
		psi[i] = w * v
		squares += psi[i] * psi[i]
		if w == 1 {
			inside++
		}
	}
	m := max(inside/n, 0.01)
	k := 1 + p/n*(1-m)/m
	f.inflate, f.effect = k*k*squares/(n-p)/(m*m), n-p
	if rho := f.correlated(psi); rho > 1.64/math.Sqrt(n) { // one-sided 5 %
		worth := (1 - rho) / (1 + rho)
		f.inflate /= worth
		f.effect = max(n*worth-p, 1)
	}
	f.spread = newSpreadOf(j)
}

// correlated is the correlation between one reading and the next of its kind.
func (f *fitter) correlated(psi []float64) float64 {
	products, squares := 0.0, 0.0
	k := 0
	for _, t := range f.tracks {
		var last [channels]float64
		for _, r := range t.readings {
			products += psi[k] * last[r.of]
			squares += psi[k] * psi[k]
			last[r.of] = psi[k]
			k++
		}
	}
	return min(products/max(squares, math.SmallestNonzeroFloat64), 0.98)
}

func (f *fitter) deviation(k int) float64 { return math.Sqrt(f.inflate * f.spread.variance(k)) }

// half is the factor from a deviation to half an interval.
func (f *fitter) half() float64 {
	if f.doubts {
		return f.half0() // what was observed has its deviation given, not judged
	}
	return student(Confidence, int(f.effect))
}

// drop fixes the unknown that is least certain, measured by what is enough,
// where it is so many times less certain than that. With more than one it goes
// on until there is none, at the place where the search begins.
func (f *fitter) drop(times float64) bool {
	any := false
	for len(f.active) > 0 {
		if times > 1 {
			j := mat.NewDense(f.count, len(f.active), nil)
			if !f.jacobian(f.values(), j) {
				return any
			}
			f.inflate = 1
			f.spread = newSpreadOf(j)
		}
		worst, most := -1, times
		for k, u := range f.active {
			if ratio := f.deviation(k) / u.enough(); ratio > most {
				worst, most = k, ratio
			}
		}
		if worst < 0 {
			return any
		}
		any = true
		u := f.active[worst]
		u.fixed, u.value, u.why = true, u.fallback, f.reason(worst)
		f.activate()
		if times == 1 {
			return true
		}
	}
	return any
}

// reason says why an unknown cannot be told.
func (f *fitter) reason(worst int) string {
	partner, most := -1, 0.95
	for k := range f.active {
		if c := math.Abs(f.spread.correlation(worst, k)); k != worst && c > most {
			partner, most = k, c
		}
	}
	text := "the log does not show it"
	if sd := f.deviation(worst); sd < 100*f.active[worst].enough() {
		text = fmt.Sprintf("the log leaves it ± %s", f.active[worst].text(f.half0()*sd))
	}
	if partner >= 0 {
		text += fmt.Sprintf(", and cannot tell it from %s", f.active[partner].name(f.tracks))
	}
	return text
}

// half0 is half for a normal distribution: before a fit there is no count of
// what the readings are worth.
func (f *fitter) half0() float64 { return distuv.UnitNormal.Quantile((1 + Confidence) / 2) }
