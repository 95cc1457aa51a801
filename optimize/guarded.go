package optimize

import "math"

// Guarded returns an evaluator of p with scratch of its own, for one goroutine.
// It takes a design and a Result whose slices have the lengths of p, and always
// leaves such a Result: an evaluation that panics, gives another shape or a
// number that cannot be ranked is a failed flight, all of whose numbers are 0.
func (p *Problem) Guarded() func(x []float64, r *Result) {
	evaluate := p.Evaluator()
	return func(x []float64, r *Result) {
		goals, violations := r.Goals, r.Violations
		clear(goals)
		clear(violations)
		r.Slack, r.Failed = 0, false
		if !returns(evaluate, x, r) {
			evaluate = p.Evaluator() // the old one's scratch is suspect
			r.Failed = true
		}
		if len(r.Goals) != len(goals) || len(r.Violations) != len(violations) {
			r.Failed = true
		} else {
			copy(goals, r.Goals)
			copy(violations, r.Violations)
		}
		r.Goals, r.Violations = goals, violations
		if r.Failed || !sound(r, p.Distances) {
			clear(goals)
			clear(violations)
			r.Slack, r.Failed = 0, true
		}
	}
}

// returns reports whether evaluate came back.
func returns(evaluate func(x []float64, r *Result), x []float64, r *Result) (returned bool) {
	defer func() {
		if !returned {
			_ = recover()
		}
	}()
	evaluate(x, r)
	return true
}

// sound tells whether the numbers of a result can be ranked; inside says that
// violations may be below 0.
func sound(r *Result, inside bool) bool {
	for _, v := range r.Goals {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	for _, v := range r.Violations {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 && !inside {
			return false
		}
	}
	return !math.IsNaN(r.Slack)
}
