package ode

import (
	"math"
	"testing"
)

// weight returns the weights of the continuous extension at the share u of a
// step, worked out from At's own formula with unit rates.
func weight(u float64) (b [stages]float64) {
	for i := range stages {
		s := NewSolver(1)
		s.span = 1
		s.k[i][0] = 1
		s.Y[0] = advance(i)
		var y [1]float64
		s.At(u, y[:])
		b[i] = y[0]
	}
	return b
}

// advance is the weight of stage i in a whole step.
func advance(i int) float64 {
	if i == stages-1 {
		return 0
	}
	return tab[stages-1][i]
}

func apply(v [stages]float64) (w [stages]float64) {
	for i := range stages {
		for j := range i {
			w[i] += tab[i][j] * v[j]
		}
	}
	return w
}

func times(v, w [stages]float64) (p [stages]float64) {
	for i := range stages {
		p[i] = v[i] * w[i]
	}
	return p
}

// conditions are the order conditions of the rooted trees through order 5:
// the weights times vector must give 1/density.
func conditions() []struct {
	order   int
	vector  [stages]float64
	density float64
} {
	one := [stages]float64{1, 1, 1, 1, 1, 1, 1, 1}
	c := nodes
	c2 := times(c, c)
	c3 := times(c2, c)
	ac, ac2 := apply(c), apply(c2)
	aac := apply(ac)
	return []struct {
		order   int
		vector  [stages]float64
		density float64
	}{
		{1, one, 1},
		{2, c, 2},
		{3, c2, 3},
		{3, ac, 6},
		{4, c3, 4},
		{4, times(c, ac), 8},
		{4, ac2, 12},
		{4, aac, 24},
		{5, times(c2, c2), 5},
		{5, times(c2, ac), 10},
		{5, times(ac, ac), 20},
		{5, times(c, ac2), 15},
		{5, times(c, aac), 30},
		{5, apply(c3), 20},
		{5, apply(times(c, ac)), 40},
		{5, apply(ac2), 60},
		{5, apply(aac), 120},
	}
}

func dot(v, w [stages]float64) (sum float64) {
	for i := range stages {
		sum += v[i] * w[i]
	}
	return sum
}

// The identities hold in rationals, so only rounding of sums of terms up to
// about 12 is allowed for.
const rounding = 1e-14

func TestRowSumsAreNodes(t *testing.T) {
	for i, row := range tab {
		sum := 0.0
		for _, a := range row {
			sum += a
		}
		if math.Abs(sum-nodes[i]) > rounding {
			t.Errorf("row %d sums to %.17g, want its node %.17g", i, sum, nodes[i])
		}
	}
}

func TestOrderConditions(t *testing.T) {
	var b, embedded [stages]float64
	for i := range stages {
		b[i] = advance(i)
		embedded[i] = b[i] - errW[i]
	}
	for i, c := range conditions() {
		if got := dot(b, c.vector); math.Abs(got-1/c.density) > rounding {
			t.Errorf("condition %d, order %d: %.17g, want 1/%g", i, c.order, got, c.density)
		}
		got := dot(embedded, c.vector)
		if c.order <= 4 && math.Abs(got-1/c.density) > rounding {
			t.Errorf("embedded condition %d, order %d: %.17g, want 1/%g", i, c.order, got, c.density)
		}
	}
	// The embedded weights must fail the conditions of order 5, or the error
	// would be estimated as 0.
	most := 0.0
	for _, c := range conditions() {
		if c.order == 5 {
			most = max(most, math.Abs(dot(embedded, c.vector)-1/c.density))
		}
	}
	if most < 1e-4 {
		t.Errorf("embedded weights meet order 5 to %g", most)
	}
}

// The continuous extension meets the conditions through order 4 at every
// share of the step, and through order 5 in its middle.
func TestContinuousOrder(t *testing.T) {
	for _, u := range []float64{0, 0.1, 0.25, 0.5, 0.7, 0.9, 1} {
		b := weight(u)
		for i, c := range conditions() {
			if c.order > 4 && u != 0.5 {
				continue
			}
			want := math.Pow(u, float64(c.order)) / c.density
			if got := dot(b, c.vector); math.Abs(got-want) > rounding {
				t.Errorf("u = %g, condition %d, order %d: %.17g, want %.17g", u, i, c.order, got, want)
			}
		}
	}
}

// At both ends the extension has the value and the slope of the solution.
func TestContinuousEnds(t *testing.T) {
	for i, w := range weight(1) {
		if math.Abs(w-advance(i)) > rounding {
			t.Errorf("weight %d at 1 = %.17g, want %.17g", i, w, advance(i))
		}
	}
	const h = 1e-6 // the third derivative of a weight is below 100: error below 1e-10 with rounding
	up, down := weight(h), weight(-h)
	upEnd, downEnd := weight(1+h), weight(1-h)
	for i := range stages {
		first, last := 0.0, 0.0
		if i == 0 {
			first = 1
		}
		if i == stages-1 {
			last = 1
		}
		if got := (up[i] - down[i]) / (2 * h); math.Abs(got-first) > 1e-9 {
			t.Errorf("slope of weight %d at 0 = %.12g, want %g", i, got, first)
		}
		if got := (upEnd[i] - downEnd[i]) / (2 * h); math.Abs(got-last) > 1e-9 {
			t.Errorf("slope of weight %d at 1 = %.12g, want %g", i, got, last)
		}
	}
}

// swing is y″ = −y with a forcing: y = sin t + t²/10, whose rates depend on t
// and y alike.
func swing(t float64, y, dydt []float64) {
	dydt[0] = y[1]
	dydt[1] = -y[0] + t*t/10 + 0.2
}

func swung(t float64) (y, v float64) { return math.Sin(t) + t*t/10, math.Cos(t) + t/5 }

// Rates are a system of equations.
type rates func(t float64, y, dydt []float64)

func (f rates) Rates(t float64, y, dydt []float64) { f(t, y, dydt) }

// solver starts swing at 0 with a tolerance.
func solver(rel float64) *Solver {
	s := NewSolver(2)
	s.System = rates(swing)
	s.Rel = rel
	for i := range s.Abs {
		s.Abs[i] = rel
	}
	s.Y[0], s.Y[1] = swung(0)
	s.Start(0, 0.1)
	return s
}

// fixed makes n equal steps over length and returns the error at the end.
func fixed(t *testing.T, n int, length float64) float64 {
	t.Helper()
	s := solver(1e9) // takes every step
	for i := range n {
		s.H = length / float64(n)
		limit := length * float64(i+1) / float64(n)
		if !s.Step(limit) || s.T != limit {
			t.Fatalf("step %d ended at %v, want %v", i, s.T, limit)
		}
	}
	y, v := swung(length)
	return math.Hypot(s.Y[0]-y, s.Y[1]-v)
}

func TestObservedOrder(t *testing.T) {
	coarse, fine := fixed(t, 64, 6), fixed(t, 128, 6)
	if order := math.Log2(coarse / fine); math.Abs(order-5) > 0.1 {
		t.Errorf("observed order %.3f (errors %g, %g), want 5", order, coarse, fine)
	}
}

// Inside one step the extension is of fourth order: its error falls with the
// fifth power of the step.
func TestObservedContinuousOrder(t *testing.T) {
	inside := func(h float64) float64 {
		s := solver(1e9)
		s.H = h
		s.Step(h)
		worst := 0.0
		for _, u := range []float64{0.2, 0.4, 0.6, 0.8} {
			var y [2]float64
			s.At(u*h, y[:])
			want, _ := swung(u * h)
			worst = max(worst, math.Abs(y[0]-want))
		}
		return worst
	}
	coarse, fine := inside(0.2), inside(0.1)
	if order := math.Log2(coarse/fine) - 1; math.Abs(order-4) > 0.1 {
		t.Errorf("observed order %.3f (errors %g, %g), want 4", order, coarse, fine)
	}
}

// The tolerance governs the error: over 20 time units of a neutral problem it
// stays within 50 times the tolerance, and falls with it.
func TestErrorControl(t *testing.T) {
	before := math.Inf(1)
	for _, rel := range []float64{1e-4, 1e-6, 1e-8, 1e-10} {
		s := solver(rel)
		steps := 0
		for s.T < 20 {
			if !s.Step(20) {
				t.Fatalf("stopped at %v", s.T)
			}
			steps++
		}
		y, v := swung(20)
		scale := rel * (1 + math.Hypot(y, v))
		off := math.Hypot(s.Y[0]-y, s.Y[1]-v)
		if off > 50*scale || off > before/5 {
			t.Errorf("tolerance %g: error %g after %d steps, want below %g and a fifth of %g", rel, off, steps, 50*scale, before)
		}
		before = off
	}
}

// A step and its error are what the table says, stage by stage: the stages that
// are written out take each weight and each rate in its place.
func TestStepByTheTable(t *testing.T) {
	s := solver(1e-3)
	const h = 0.7
	y0 := [2]float64{s.Y[0], s.Y[1]}
	var k [stages][2]float64
	var y [2]float64 // after the last stage, the end of the step
	for i := range k {
		y = y0
		for stage, weight := range tab[i] {
			y[0] += h * weight * k[stage][0]
			y[1] += h * weight * k[stage][1]
		}
		swing(nodes[i]*h, y[:], k[i][:])
	}
	want := 0.0
	for j := range y {
		miss := 0.0
		for i := range k {
			miss += h * errW[i] * k[i][j]
		}
		want = max(want, math.Abs(miss)/(s.Abs[j]+s.Rel*max(math.Abs(y0[j]), math.Abs(y[j]))))
	}
	copy(s.y0, s.Y)
	got := s.attempt(h)
	if math.Abs(got-want) > 1e-10*want {
		t.Errorf("error %.12g of the tolerance, want %.12g", got, want)
	}
	if math.Abs(s.Y[0]-y[0]) > 1e-14 || math.Abs(s.Y[1]-y[1]) > 1e-14 {
		t.Errorf("the step ends at %v, want %v", s.Y, y)
	}
}

// A first step that is much too long is rejected, not taken.
func TestRejectsLongStep(t *testing.T) {
	s := solver(1e-8)
	s.H = 15
	if !s.Step(20) {
		t.Fatal("no step")
	}
	if s.T > 2 {
		t.Errorf("first step reached %v, want one that resolves a period of 6.28", s.T)
	}
	if y, _ := swung(s.T); math.Abs(s.Y[0]-y) > 1e-7 {
		t.Errorf("y(%v) = %v, want %v", s.T, s.Y[0], y)
	}
}

// A step is the fewest evaluations that the pair takes: seven, and one to start with.
func TestEvaluations(t *testing.T) {
	s := solver(1e9)
	if s.Step(0.1); s.Evaluations != 8 {
		t.Errorf("%d evaluations after one step, want 8", s.Evaluations)
	}
	if s.Step(0.2); s.Evaluations != 15 {
		t.Errorf("%d evaluations after two steps, want 15", s.Evaluations)
	}
}

// Component is a component of what At writes, and Rate what Rates gives there.
func TestComponent(t *testing.T) {
	s := solver(1e-6)
	var y, dy [2]float64
	for s.T < 6 {
		s.Step(6)
		for _, u := range []float64{0, 0.2, 0.7, 1} {
			at := s.T0 + u*(s.T-s.T0)
			s.At(at, y[:])
			for j := range y {
				if got := s.Component(at, j); got != y[j] {
					t.Errorf("component %d at %v: %v, want %v", j, at, got, y[j])
				}
			}
		}
		if swing(s.T, s.Y, dy[:]); s.Rate()[0] != dy[0] || s.Rate()[1] != dy[1] {
			t.Errorf("rates at %v: %v, want %v", s.T, s.Rate(), dy)
		}
	}
}

// Retake makes the step again, shorter, and keeps the step that comes next.
func TestRetake(t *testing.T) {
	s := solver(1e-9)
	s.Step(20)
	s.Step(20)
	from, next := s.T0, s.H
	at := from + 0.3*(s.T-from)
	if !s.Retake(at) || s.T0 != from || s.T != at || s.H != next {
		t.Fatalf("from %v to %v, next %v; want from %v to %v, next %v", s.T0, s.T, s.H, from, at, next)
	}
	for s.T < 6 {
		s.Step(6)
	}
	if y, v := swung(6); math.Hypot(s.Y[0]-y, s.Y[1]-v) > 1e-7 {
		t.Errorf("y(6) = %v, want %v", s.Y[0], y)
	}
}

func TestStepStopsAtLimit(t *testing.T) {
	s := solver(1e-3)
	s.H = 0.3
	s.Step(0.1)
	if s.T != 0.1 || s.H < 0.3 {
		t.Errorf("T = %v, H = %v after a step cut by its limit, want 0.1 and the step kept", s.T, s.H)
	}
}

// Cut and Start continue as if the step had ended there.
func TestCut(t *testing.T) {
	s := solver(1e-9)
	for s.T < 3 {
		s.Step(10)
	}
	at := (s.T0 + s.T) / 2
	s.Cut(at)
	s.Start(at, s.H)
	if y, _ := swung(at); s.T != at || math.Abs(s.Y[0]-y) > 1e-7 {
		t.Fatalf("cut to %v: T = %v, y = %v, want y = %v", at, s.T, s.Y[0], y)
	}
	for s.T < 6 {
		s.Step(6)
	}
	if y, v := swung(6); math.Hypot(s.Y[0]-y, s.Y[1]-v) > 1e-7 {
		t.Errorf("y(6) = %v, want %v", s.Y[0], y)
	}
}

// A solver that was stopped anywhere starts anew without a trace of it.
func TestStartForgets(t *testing.T) {
	run := func(s *Solver) [2]float64 {
		s.Y[0], s.Y[1] = swung(0)
		s.Start(0, 0.05)
		for s.T < 2 {
			s.Step(2)
		}
		return [2]float64{s.Y[0], s.Y[1]}
	}
	fresh := run(solver(1e-6))
	used := solver(1e-6)
	for range 7 {
		used.Step(100)
	}
	if again := run(used); again != fresh {
		t.Errorf("after use %v, want %v", again, fresh)
	}
}

func TestRefusal(t *testing.T) {
	for _, c := range []struct {
		name  string
		rates func(t float64, y, dydt []float64)
	}{
		{"blow-up in finite time", func(_ float64, y, dydt []float64) { dydt[0] = y[0] * y[0] }},
		{"not a number from the start", func(_ float64, _, dydt []float64) { dydt[0] = math.NaN() }},
		{"infinite from the start", func(_ float64, _, dydt []float64) { dydt[0] = math.Inf(1) }},
		{"not a number after 0.5", func(t float64, _, dydt []float64) { dydt[0] = math.Sqrt(0.5 - t) }},
	} {
		s := NewSolver(1)
		s.System, s.Rel, s.Abs[0] = rates(c.rates), 1e-6, 1e-6
		s.Y[0] = 1
		s.Start(0, 0.01)
		refused := false
		for range 5000 {
			if !s.Step(2) {
				refused = true
				break
			}
			if s.T >= 2 {
				break
			}
		}
		if !refused {
			t.Errorf("%s: integrated to %v, y = %v", c.name, s.T, s.Y[0])
		}
		if math.IsNaN(s.Begin()[0]) || s.Evaluations > 50_000 {
			t.Errorf("%s: last good state %v after %d evaluations", c.name, s.Begin()[0], s.Evaluations)
		}
	}
}

func TestAllocations(t *testing.T) {
	s := solver(1e-6)
	var y [2]float64
	if n := testing.AllocsPerRun(20, func() {
		s.Y[0], s.Y[1] = swung(0)
		s.Start(0, 0.1)
		for s.T < 5 {
			s.Step(5)
			s.At((s.T0+s.T)/2, y[:])
			Root(func(t float64) float64 { s.At(t, y[:]); return y[0] - 0.5 }, s.T0, s.Begin()[0]-0.5, s.T, s.Y[0]-0.5, 1e-7)
		}
	}); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
}

// Root keeps its promise on functions that defeat plain regula falsi: within
// the 30 free steps and the halvings from there, and much sooner on smooth ones.
func TestRoot(t *testing.T) {
	const tol = 1e-9
	for _, c := range []struct {
		name  string
		f     func(float64) float64
		a, b  float64
		root  float64
		calls int
	}{
		{"straight", func(x float64) float64 { return x - 0.3 }, 0, 1, 0.3, 5},
		{"falling", func(x float64) float64 { return 0.3 - x }, 0, 1, 0.3, 5},
		{"flat at the root", func(x float64) float64 { return math.Pow(x-0.7, 9) }, 0, 1, 0.7, 65},
		{"jump", func(x float64) float64 { return math.Copysign(1, x-0.123456) }, 0, 1, 0.123456, 65},
		{"steep", func(x float64) float64 { return math.Tanh(1e6 * (x - 0.999)) }, 0, 1, 0.999, 65},
		{"lopsided", func(x float64) float64 { return math.Exp(80*x) - math.Exp(8) }, 0, 1, 0.1, 65},
		{"infinite slope", func(x float64) float64 { return math.Cbrt(x - 1e-5) }, 0, 1, 1e-5, 65},
		{"pole beyond", func(x float64) float64 { return 1/(1.0001-x) - 2 }, 0, 1, 0.5001, 25},
		{"backward", func(x float64) float64 { return x*x*x - 0.2 }, 1, 0, math.Cbrt(0.2), 15},
		{"root at a", func(x float64) float64 { return x }, 0, 1, 0, 65},
		{"root at b", func(x float64) float64 { return x - 1 }, 0, 1, 1, 0},
	} {
		calls := 0
		f := func(x float64) float64 { calls++; return c.f(x) }
		fa, fb := c.f(c.a), c.f(c.b)
		x := Root(f, c.a, fa, c.b, fb, tol)
		if math.Abs(x-c.root) > 1.01*tol && math.Abs(c.f(x)) > 1e-80 {
			t.Errorf("%s: root %.12g, want %.12g within %g", c.name, x, c.root, tol)
		}
		if fx := c.f(x); fx*fb < 0 {
			t.Errorf("%s: f(root) = %g has the sign of f(a)", c.name, fx)
		}
		if calls > c.calls {
			t.Errorf("%s: %d calls, want at most %d", c.name, calls, c.calls)
		}
	}
}

func TestFifthRoot(t *testing.T) {
	for x := 1e-12; x < 1e12; x *= 1.07 {
		if got := fifthRoot(x) / math.Pow(x, 0.2); got < 0.92 || got > 1.08 {
			t.Errorf("fifthRoot(%g) is %g of the root", x, got)
		}
	}
}

// TestInfiniteStep holds that a step without an end is refused, not tried for
// ever: a share of infinity is as long.
func TestInfiniteStep(t *testing.T) {
	s := NewSolver(1)
	s.System = rates(func(_ float64, _, dydt []float64) { dydt[0] = 1 })
	s.Rel, s.Abs[0] = 1e-6, 1e-6
	s.Start(0, math.Inf(1))
	if s.Step(math.Inf(1)) {
		t.Errorf("a step to %v was accepted", s.T)
	}
}
