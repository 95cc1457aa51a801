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
// Error: the start has no residuals, or they are fewer than the variables.
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

// linearise takes the derivatives at x, weighs them, and finds what is held.
func (s *solver) linearise() bool {
	if !s.jacobian(s.x) {
		return false
	}
	s.weighted.Copy(s.j)
	for i, v := range s.r {
		w := 1.0
		if s.Loss != nil {
			_, w = s.Loss(v)
			w = math.Sqrt(w)
			for k := range s.x {
				s.weighted.Set(i, k, w*s.j.At(i, k))
			}
		}
		s.rhs[i] = -w * v
	}
	s.flat = 0
	length := math.Sqrt(mat.Dot(mat.NewVecDense(s.Count, s.rhs), mat.NewVecDense(s.Count, s.rhs)))
	for k := range s.x {
		column := s.weighted.ColView(k)
		norm := mat.Norm(column, 2)
		s.scale[k] = max(s.scale[k], norm)
		slope := mat.Dot(column, mat.NewVecDense(s.Count, s.rhs)) // downhill
		s.held[k] = s.Lower != nil && s.x[k] <= s.Lower[k] && slope < 0 || s.Upper != nil && s.x[k] >= s.Upper[k] && slope > 0
		if !s.held[k] && norm*length > 0 {
			s.flat = max(s.flat, math.Abs(slope)/(norm*length))
		}
	}
	return true
}

// factorise prepares the equations of damping λ for what is free.
func (s *solver) factorise(lambda float64) {
	s.free = s.free[:0]
	for k, held := range s.held {
		if !held && s.scale[k] > 0 {
			s.free = append(s.free, k)
		}
	}
	if len(s.free) == 0 {
		return
	}
	a := mat.NewDense(s.Count+len(s.free), len(s.free), nil)
	for c, k := range s.free {
		for i := range s.Count {
			a.Set(i, c, s.weighted.At(i, k)/s.scale[k])
		}
		a.Set(s.Count+c, c, math.Sqrt(lambda))
	}
	s.qr.Factorize(a)
}

// solve writes to step what brings the weighted equations closest to rhs. It
// reports whether there is such a step.
func (s *solver) solve(step, rhs []float64) bool {
	clear(step)
	if len(s.free) == 0 {
		return true
	}
	b := mat.NewVecDense(s.Count+len(s.free), nil)
	for i, v := range rhs {
		b.SetVec(i, v)
	}
	var out mat.VecDense
	if err := s.qr.SolveVecTo(&out, false, b); err != nil && math.IsInf(float64(conditionOf(err)), 1) {
		return false
	}
	for c, k := range s.free {
		step[k] = out.AtVec(c) / s.scale[k]
	}
	return true
}

// probe is how far along a step the curvature is measured, as a share of it.
const probe = 0.1

// bend is the largest acceleration, over the step, that is accepted.
const bend = 0.75

// accelerate adds half of the geodesic acceleration to s.step. It reports
// whether the residuals bend little enough along the step to trust it.
func (s *solver) accelerate() bool {
	for k, v := range s.x {
		s.next[k] = v + probe*s.step[k]
	}
	s.confine(s.next)
	s.evaluations++
	if !s.Residuals(s.next, s.trial) {
		return false
	}
	for i, r := range s.r {
		linear := 0.0
		for k := range s.x {
			linear += s.j.At(i, k) * s.step[k]
		}
		w := 1.0
		if s.Loss != nil {
			_, w = s.Loss(r)
		}
		s.curve[i] = -math.Sqrt(w) * 2 / probe * ((s.trial[i]-r)/probe - linear)
	}
	if !s.solve(s.bent, s.curve) {
		return true
	}
	length, turn := 0.0, 0.0
	for k, v := range s.step {
		length = math.Hypot(length, v*s.scale[k])
		turn = math.Hypot(turn, s.bent[k]*s.scale[k])
	}
	if 2*turn > bend*length {
		return false
	}
	for k := range s.step {
		s.step[k] += s.bent[k] / 2
	}
	return true
}

// conditionOf returns the condition number behind an error of mat.
func conditionOf(err error) mat.Condition {
	if c, ok := err.(mat.Condition); ok { //nolint:errorlint // mat returns it bare
		return c
	}
	return mat.Condition(math.Inf(1))
}

// descend takes a step that gains, and reports whether there is one.
func (s *solver) descend() bool {
	for range 60 { // λ has then grown beyond any use
		s.factorise(s.damping)
		if !s.solve(s.step, s.rhs) || !s.accelerate() {
			s.raise()
			continue
		}
		for k := range s.x {
			s.next[k] = s.x[k] + s.step[k]
		}
		s.confine(s.next)
		gain := s.predicted()
		s.evaluations++
		if s.Residuals(s.next, s.trial) {
			if cost := s.sum(s.trial); cost < s.cost {
				ratio := (s.cost - cost) / gain
				turn := 2*min(ratio, 1) - 1
				s.damping *= max(1./3, 1-turn*turn*turn)
				s.growth = 2
				s.cost = cost
				copy(s.x, s.next)
				s.r, s.trial = s.trial, s.r
				return true
			}
		}
		s.raise()
	}
	return false
}

func (s *solver) raise() {
	s.damping *= s.growth
	s.growth *= 2
}

// predicted is the cost that the linear model gains by going to s.next.
func (s *solver) predicted() float64 {
	before, after := 0.0, 0.0
	for i, v := range s.rhs {
		u := -v
		for k := range s.x {
			u += s.weighted.At(i, k) * (s.next[k] - s.x[k])
		}
		before += v * v
		after += u * u
	}
	return max(before-after, 0x1p-1000)
}

// polish takes undamped steps for as long as they shrink, a few that do not
// apart, and the cost does not rise beyond what rounding can do.
func (s *solver) polish() {
	if s.Tolerance > 0 {
		return
	}
	least := math.Inf(1)
	defer func() { s.converged = s.converged || s.flat <= resolved }()
	for idle := 0; idle < maxIdle; idle++ {
		if !s.linearise() {
			return
		}
		s.factorise(0)
		if !s.solve(s.step, s.rhs) {
			return
		}
		length := 0.0
		for k, v := range s.step {
			length = math.Hypot(length, v*s.scale[k])
			s.next[k] = s.x[k] + v
		}
		s.confine(s.next)
		if length == 0 || !s.Residuals(s.next, s.trial) {
			return
		}
		cost := s.sum(s.trial)
		if cost > s.cost*(1+1e-9) {
			return
		}
		s.cost = cost
		copy(s.x, s.next)
		s.r, s.trial = s.trial, s.r
		if length < least {
			least, idle = length, 0
		}
	}
}
