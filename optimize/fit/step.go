package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

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
