package fit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Problem is a sum of squares, or of a gentler loss, to be made as small as
// it gets.
type Problem struct {
	Residuals func(x, dst []float64) bool // false where x has none
	Count     int                         // of residuals

	// Jacobian writes ∂r_i/∂x_j to dst; nil takes central differences of
	// relative step ∛ε, absolute where x_j is 0.
	Jacobian func(x []float64, dst *mat.Dense) bool

	Lower, Upper []float64 // bounds of x; nil: none
	Loss         Loss      // nil: squares

	// Tolerance is the cosine between the residuals and each column of the
	// Jacobian that counts as a right angle: with it the cost is within its
	// square, as a share, of the least. 0 asks for all that double precision
	// gives.
	Tolerance float64
}

// A Loss returns what a residual costs, in place of its square, and the weight
// of its square that has the same slope.
type Loss func(r float64) (cost, weight float64)

// A Solution is where a search for least squares ended.
type Solution struct {
	X           []float64
	Residuals   []float64
	Jacobian    *mat.Dense // at X
	Cost        float64    // the sum over the residuals
	Evaluations int        // of the residuals, differences not counted
	Converged   bool       // to the tolerance; where there is one, also when no step gains, or a few in a row gain less than its square
}

const (
	maxIterations = 2000
	startDamping  = 1
	unresolved    = 1e-11 // of s.flat: nothing is left to gain
	resolved      = 1e-8  // of s.flat: rounding hides what a step gains, the square of it
	maxIdle       = 10
	maxSlow       = 5 // steps in a row that gain less than the square of the tolerance
)

// Solve minimises from start by the method of Levenberg and Marquardt: each
// step solves
//
//	min ‖J δ + r‖² + λ ‖D δ‖²
//
// by a QR factorisation, with D the largest norms of the columns of J so far
// (Moré, Lecture Notes in Mathematics 630 (1978) 105 †) and λ updated by the
// ratio of gained to predicted cost (Nielsen, report IMM-REP-1999-05, Technical
// University of Denmark †). Half of the geodesic acceleration is added, and a
// step that it bends too much is refused (Transtrum and Sethna, arXiv:1201.5885
// (2012) †): that keeps the search off plains and on course in narrow valleys.
// A step is cut at the bounds, and a variable that
// the gradient presses against one is held there. With a loss the squares are
// reweighted at every step. Where rounding hides the gain undamped steps
// follow, for as long as they shrink. (†: from memory.)
//
// It errs where the start has no residuals, and where they are fewer than the
// variables.
func Solve(p *Problem, start []float64) (Solution, error) {
	n := len(start)
	if p.Count < n {
		return Solution{}, fmt.Errorf("fit: %d residuals, want at least %d, one for each unknown", p.Count, n)
	}
	s := newSolver(p, start)
	if !p.Residuals(s.x, s.r) {
		return Solution{}, fmt.Errorf("fit: nothing can be computed at the start %v", start)
	}
	s.cost = s.sum(s.r)
	s.evaluations = 1
	for idle := 0; idle < maxSlow; idle++ {
		if s.iterations++; s.iterations > maxIterations || !s.linearise() {
			break
		}
		if s.converged = s.flat <= max(p.Tolerance, unresolved); s.converged {
			break
		}
		last := s.cost
		if !s.descend() {
			s.converged = p.Tolerance > 0
			break
		}
		if last-s.cost >= p.Tolerance*p.Tolerance*last {
			idle = -1
		} else if idle == maxSlow-1 {
			s.converged = true
		}
	}
	s.polish()
	if !s.jacobian(s.x) {
		s.converged = false
	}
	return Solution{X: s.x, Residuals: s.r, Jacobian: s.j, Cost: s.cost, Evaluations: s.evaluations, Converged: s.converged}, nil
}

type solver struct {
	*Problem
	x, r, next, trial, step []float64
	j, weighted             *mat.Dense
	rhs                     []float64 // −√w r
	scale                   []float64 // D
	curve                   []float64 // −√w times the second derivative along the step
	bent                    []float64 // the geodesic acceleration
	held                    []bool    // at a bound, pressed against it
	free                    []int     // variables that are not
	qr                      mat.QR
	damping, growth         float64
	cost                    float64
	flat                    float64 // largest cosine between r and a free column of J
	evaluations, iterations int
	converged               bool
}

func newSolver(p *Problem, start []float64) *solver {
	n := len(start)
	s := &solver{
		Problem: p, x: make([]float64, n), next: make([]float64, n), step: make([]float64, n), scale: make([]float64, n),
		held: make([]bool, n), curve: make([]float64, p.Count), bent: make([]float64, n), r: make([]float64, p.Count), trial: make([]float64, p.Count), rhs: make([]float64, p.Count),
		j: mat.NewDense(p.Count, n, nil), weighted: mat.NewDense(p.Count, n, nil), damping: startDamping, growth: 2,
	}
	copy(s.x, start)
	s.confine(s.x)
	return s
}

// confine cuts x at the bounds.
func (s *solver) confine(x []float64) {
	for i := range x {
		if s.Lower != nil {
			x[i] = max(x[i], s.Lower[i])
		}
		if s.Upper != nil {
			x[i] = min(x[i], s.Upper[i])
		}
	}
}

func (s *solver) sum(r []float64) float64 {
	total := 0.0
	for _, v := range r {
		cost := v * v
		if s.Loss != nil {
			cost, _ = s.Loss(v)
		}
		total += cost
	}
	return total
}

// jacobian writes the derivatives at x to s.j.
func (s *solver) jacobian(x []float64) bool {
	if s.Problem.Jacobian != nil {
		return s.Problem.Jacobian(x, s.j)
	}
	at := append([]float64(nil), x...)
	up, down := make([]float64, s.Count), make([]float64, s.Count)
	for k, v := range x {
		h := math.Cbrt(0x1p-52) * math.Abs(v)
		if h == 0 {
			h = math.Cbrt(0x1p-52)
		}
		at[k] = v + h
		ok := s.Residuals(at, up)
		high := at[k]
		at[k] = v - h
		ok = s.Residuals(at, down) && ok
		if !ok {
			return false
		}
		for i := range up {
			s.j.Set(i, k, (up[i]-down[i])/(high-at[k]))
		}
		at[k] = v
	}
	return true
}
