// Package ode integrates ordinary differential equations with one embedded
// Runge–Kutta pair, dense output and event location. Start from Solver, Step
// and At. It knows nothing of what it integrates.
package ode

import "math"

// The 5(4) pair of Bogacki & Shampine, whose fifth-order weights leave a
// twentieth of the error of Dormand & Prince's for a seventh stage a step.
// Source: Computers Math. Applic. 32 (1996) 15. Coefficients from memory, held
// to their order conditions and to the observed order by tests. The continuous
// extension is ours: the quartic through both ends, their rates and the middle
// of the step, to which the same stages lead to fifth order; its weights are
// the one solution of the order conditions there.
const stages = 8

var (
	nodes = [stages]float64{0, 1. / 6, 2. / 9, 3. / 7, 2. / 3, 3. / 4, 1, 1}
	tab   = [stages][stages - 1]float64{
		{},
		{1. / 6},
		{2. / 27, 4. / 27},
		{183. / 1372, -162. / 343, 1053. / 1372},
		{68. / 297, -4. / 11, 42. / 143, 1960. / 3861},
		{597. / 22528, 81. / 352, 63099. / 585728, 58653. / 366080, 4617. / 20480},
		{174197. / 959244, -30942. / 79937, 8152137. / 19744439, 666106. / 1039181, -29421. / 29068, 482048. / 414219},
		{587. / 8064, 0, 4440339. / 15491840, 24353. / 124800, 387. / 44800, 2152. / 5985, 7267. / 94080}, // the fifth-order weights
	}
	errW = [stages]float64{
		3817. / 1959552, 0, -140181. / 15491840, 4224731. / 272937600,
		-8557. / 403200, 57928. / 4363065, 23930231. / 4366535040, -3293. / 556956,
	}
	denW = [stages]float64{
		-11269. / 8064, 0, 7254279. / 3098368, 110789. / 224640, -1161. / 8960, -9512. / 3591, -7267. / 6272, 5. / 2,
	}
)

// A System is what is integrated: Rates writes the derivative of the state y at t
// to dydt, and keeps neither.
type System interface {
	Rates(t float64, y, dydt []float64)
}

// A Solver advances one system. Set the exported fields, Start, then Step.
type Solver struct {
	System System
	Rel    float64   // relative tolerance of each component
	Abs    []float64 // absolute tolerance of each component

	// The last accepted step went from T0 to T, where the state is Y.
	// H is the step that will be tried next.
	T0, T, H    float64
	Y           []float64
	Evaluations int

	y0, trial, quartic []float64
	k                  [stages][]float64
	span               float64 // length of the step that k belongs to
	hasQuartic         bool
}

// NewSolver returns a solver for systems of n components.
func NewSolver(n int) *Solver {
	cut := func() []float64 { return make([]float64, n) }
	s := &Solver{Y: cut(), y0: cut(), trial: cut(), quartic: cut(), Abs: cut()}
	for i := range s.k {
		s.k[i] = cut()
	}
	return s
}

// Resize makes the system one of the first n components, at most as many as
// the solver was made for. Start must come next.
func (s *Solver) Resize(n int) { s.Y = s.Y[:n] }

// Start places the solver at t with the state now in Y; h is the first step
// to try.
func (s *Solver) Start(t, h float64) {
	s.T0, s.T, s.H, s.span = t, t, h, 0
	s.eval(t, s.Y, 0)
	s.Evaluations++
}

// Tolerate sets the relative tolerance; the step that is planned was for the
// one before.
func (s *Solver) Tolerate(rel float64) {
	if rel != s.Rel {
		s.H *= fifthRoot(rel / s.Rel)
		s.Rel = rel
	}
}

func (s *Solver) eval(t float64, y []float64, stage int) {
	s.System.Rates(t, y, s.k[stage])
}

// Step makes one accepted step that does not pass limit, and reports whether
// it could: it cannot when the error stays too large at the smallest step
// that changes t, as where a rate is not finite. The last call of Rates in an
// accepted step is at its end.
func (s *Solver) Step(limit float64) bool {
	if s.span > 0 { // the last stage of a step is the first of the next
		s.k[0], s.k[stages-1] = s.k[stages-1], s.k[0]
	}
	s.y0 = s.y0[:len(s.Y)]
	copy(s.y0, s.Y)
	s.T0 = s.T
	return s.step(limit)
}

// Retake makes the last step again, to t, which lies inside it.
func (s *Solver) Retake(t float64) bool {
	h := s.H
	ok := s.step(t)
	s.H = h
	return ok
}

// step goes from T0, where the state is y0 with rates k[0].
func (s *Solver) step(limit float64) bool {
	s.hasQuartic = false
	for {
		h := s.H
		last := s.T0+h >= limit
		if last {
			h = limit - s.T0
		}
		if !(s.T0+h > s.T0) || math.IsInf(h, 1) { // also NaN; no refusal makes an infinite step shorter
			return false
		}
		e := s.attempt(h)
		if !(e <= 1) { // also NaN
			s.H = h * max(0.2, 0.9*fifthRoot(1/e))
			if math.IsNaN(e) || math.IsInf(e, 0) {
				s.H = h * 0.2
			}
			continue
		}
		s.span, s.T = h, s.T0+h
		if last {
			s.T = limit
		}
		// Cautious: a step refused costs as much as one taken, and half of
		// those at 0.9 were where the solution grows rougher.
		grown := h * min(5, 0.72*fifthRoot(1/(e+1e-10)))
		if !last || grown < s.H {
			s.H = grown
		}
		return true
	}
}

// fifthRoot returns x^(1/5) within 8 %, which is all that a step size wants, by
// a fifth of the exponent of a number that is stored as exponent and fraction.
func fifthRoot(x float64) float64 {
	const one = 1023 << 52
	return math.Float64frombits(uint64((int64(math.Float64bits(x))-one)/5 + one))
}

// attempt makes a step of h into Y and returns its error over the tolerance,
// the largest of any component. The stages are written out: as loops over the
// table they took as long as the rates of a cheap system.
func (s *Solver) attempt(h float64) float64 {
	n := len(s.Y)
	y0, y := s.y0[:n], s.trial[:n]
	k1, k2, k3, k4 := s.k[0][:n], s.k[1][:n], s.k[2][:n], s.k[3][:n]
	k5, k6, k7 := s.k[4][:n], s.k[5][:n], s.k[6][:n]

	// Weights stand in variables, where the stores to y cannot be thought to
	// change them.
	a1 := h * tab[1][0]
	for j := range y {
		y[j] = y0[j] + a1*k1[j]
	}
	s.eval(s.T0+nodes[1]*h, y, 1)
	a1, a2 := h*tab[2][0], h*tab[2][1]
	for j := range y {
		y[j] = y0[j] + (a1*k1[j] + a2*k2[j])
	}
	s.eval(s.T0+nodes[2]*h, y, 2)
	a1, a2, a3 := h*tab[3][0], h*tab[3][1], h*tab[3][2]
	for j := range y {
		y[j] = y0[j] + (a1*k1[j] + a2*k2[j] + a3*k3[j])
	}
	s.eval(s.T0+nodes[3]*h, y, 3)
	a1, a2, a3, a4 := h*tab[4][0], h*tab[4][1], h*tab[4][2], h*tab[4][3]
	for j := range y {
		y[j] = y0[j] + (a1*k1[j] + a2*k2[j] + a3*k3[j] + a4*k4[j])
	}
	s.eval(s.T0+nodes[4]*h, y, 4)
	a1, a2, a3, a4, a5 := h*tab[5][0], h*tab[5][1], h*tab[5][2], h*tab[5][3], h*tab[5][4]
	for j := range y {
		y[j] = y0[j] + (a1*k1[j] + a2*k2[j] + a3*k3[j] + a4*k4[j] + a5*k5[j])
	}
	s.eval(s.T0+nodes[5]*h, y, 5)
	a1, a2, a3, a4, a5, a6 := h*tab[6][0], h*tab[6][1], h*tab[6][2], h*tab[6][3], h*tab[6][4], h*tab[6][5]
	for j := range y {
		y[j] = y0[j] + (a1*k1[j] + a2*k2[j] + a3*k3[j] + a4*k4[j] + a5*k5[j] + a6*k6[j])
	}
	s.eval(s.T0+h, y, 6)
	a1, a3, a4, a5, a6 = h*tab[7][0], h*tab[7][2], h*tab[7][3], h*tab[7][4], h*tab[7][5] // the second weight is 0
	a7 := h * tab[7][6]
	y = s.Y[:n]
	for j := range y {
		y[j] = y0[j] + (a1*k1[j] + a3*k3[j] + a4*k4[j] + a5*k5[j] + a6*k6[j] + a7*k7[j])
	}
	s.eval(s.T0+h, y, 7)
	s.Evaluations += stages - 1

	return s.miss(h, y)
}

// miss returns the error of a step of h to y over the tolerance, the largest of
// any component.
func (s *Solver) miss(h float64, y []float64) float64 {
	n := len(y)
	y0, k1, k3, k4 := s.y0[:n], s.k[0][:n], s.k[2][:n], s.k[3][:n]
	k5, k6, k7, k8 := s.k[4][:n], s.k[5][:n], s.k[6][:n], s.k[7][:n]
	worst := 0.0 // squared
	e1, e3, e4, e5, e6, e7, e8 := h*errW[0], h*errW[2], h*errW[3], h*errW[4], h*errW[5], h*errW[6], h*errW[7]
	rel, abs := s.Rel, s.Abs[:n]
	for j := range y {
		miss := e1*k1[j] + e3*k3[j] + e4*k4[j] + e5*k5[j] + e6*k6[j] + e7*k7[j] + e8*k8[j]
		size := y0[j]
		if size2 := y[j]; size2*size2 > size*size {
			size = size2
		}
		share := miss / (abs[j] + rel*math.Abs(size))
		if share *= share; !(share <= worst) { // also NaN
			worst = share
		}
	}
	return math.Sqrt(worst)
}

// At writes to dst the state at t inside the last step, to fourth order.
func (s *Solver) At(t float64, dst []float64) {
	s.prepare()
	n, h, u := len(dst), s.span, (t-s.T0)/s.span
	y0, y1, k1, last, quartic := s.y0[:n], s.Y[:n], s.k[0][:n], s.k[stages-1][:n], s.quartic[:n]
	for j := range dst {
		dst[j] = interpolate(u, y0[j], y1[j], h*k1[j], h*last[j], quartic[j])
	}
}

// Component returns one component of what At writes.
func (s *Solver) Component(t float64, j int) float64 {
	s.prepare()
	return interpolate((t-s.T0)/s.span, s.y0[j], s.Y[j], s.span*s.k[0][j], s.span*s.k[stages-1][j], s.quartic[j])
}

// interpolate joins two states and their rates times the step, with the
// quartic part of the interpolant between them.
func interpolate(u, y0, y1, rate0, rate1, quartic float64) float64 {
	d := y1 - y0
	left := rate0 - d
	right := d - rate1 - left
	return y0 + u*(d+(1-u)*(left+u*(right+(1-u)*quartic)))
}

// prepare works out the quartic part of the last step's interpolant, once.
func (s *Solver) prepare() {
	if s.hasQuartic {
		return
	}
	s.hasQuartic = true
	n, h := len(s.Y), s.span
	k1, k3, k4, k5, k6, k7, k8 := s.k[0][:n], s.k[2][:n], s.k[3][:n], s.k[4][:n], s.k[5][:n], s.k[6][:n], s.k[7][:n]
	d1, d3, d4, d5, d6, d7, d8 := denW[0], denW[2], denW[3], denW[4], denW[5], denW[6], denW[7] // the second is 0
	quartic := s.quartic[:n]
	for j := range quartic {
		quartic[j] = h * (d1*k1[j] + d3*k3[j] + d4*k4[j] + d5*k5[j] + d6*k6[j] + d7*k7[j] + d8*k8[j])
	}
}

// Begin returns the state at the start of the last step; it is only to be read.
func (s *Solver) Begin() []float64 { return s.y0 }

// Rate returns the rates at the end of the last step, or where Start put the
// solver; they are only to be read.
func (s *Solver) Rate() []float64 {
	if s.span > 0 {
		return s.k[stages-1][:len(s.Y)]
	}
	return s.k[0][:len(s.Y)]
}

// Cut moves the end of the last step back to t. Start must come next.
func (s *Solver) Cut(t float64) {
	s.At(t, s.Y)
	s.T = t
}

// Root returns a zero of f between a and b, where f has the values fa and fb
// of opposite sign or zero, to within tol; it returns the end of the last
// bracket at which f has the sign of fb, so that the event is just past.
//
// Method: regula falsi with the Illinois change (Dowell & Jarratt, BIT 11
// (1971) 168; from memory), bisecting where that is slow.
func Root(f func(float64) float64, a, fa, b, fb, tol float64) float64 {
	side := 0
	for i := 0; fb != 0 && math.Abs(b-a) > tol; i++ {
		m := b - fb*(b-a)/(fb-fa)
		if i >= 30 || !(m > min(a, b) && m < max(a, b)) {
			m = a + (b-a)/2
			if m == a || m == b {
				break
			}
		}
		fm := f(m)
		switch {
		case fm == 0:
			return m
		case (fm > 0) == (fb > 0):
			if b, fb = m, fm; side == 1 {
				fa /= 2
			}
			side = 1
		default:
			if a, fa = m, fm; side == -1 {
				fb /= 2
			}
			side = -1
		}
	}
	return b
}
