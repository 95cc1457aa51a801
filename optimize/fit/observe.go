package fit

import (
	"fmt"
	"math"
)

// observe fits to observations alone. They are few: what the trade does not know
// of each quantity counts as one more observation, at the brief's value. Those
// that are hardly better known than before stay as they are, and what is not
// known of them is part of the deviations of the others.
func (f *fitter) observe() (*Result, error) {
	f.doubts = true
	if err := f.solveObserved(); err != nil {
		return nil, err
	}
	whole := newSpreadOf(f.solution.Jacobian)
	var told []int
	for k, u := range f.active {
		if is, was := math.Sqrt(whole.variance(k)), u.doubt(f.tracks); is < toldFrom*was {
			told = append(told, k)
		} else {
			u.fixed, u.value = true, u.fallback
			u.why = fmt.Sprintf("what was seen leaves it ± %s, it was known to ± %s before", u.text(f.half()*is), u.text(f.half()*was))
		}
	}
	f.activate()
	if len(f.active) > 0 {
		if err := f.solveObserved(); err != nil {
			return nil, err
		}
	}
	f.spread = whole.of(told)
	return f.result(), nil
}

// toldFrom is the share of what was not known, below which something was learnt.
const toldFrom = 0.95

// solveObserved solves for the active unknowns, each with its doubt.
func (f *fitter) solveObserved() (err error) {
	f.count = f.readings() + len(f.active)
	f.model = make([]float64, f.count)
	if f.solution, err = Solve(f.problem(), f.values()); err != nil {
		return err
	}
	for k, u := range f.active {
		u.value = f.solution.X[k]
	}
	f.inflate, f.effect = 1, float64(f.readings())
	return nil
}

// of returns the spread of some of the unknowns.
func (s *spreadOf) of(some []int) spreadOf {
	out := spreadOf{n: len(some), condition: s.condition}
	for _, a := range some {
		for _, b := range some {
			out.inverse = append(out.inverse, s.covariance(a, b))
		}
	}
	return out
}
