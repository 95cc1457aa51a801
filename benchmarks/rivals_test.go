package benchmarks

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ullage/optimize"
)

// A rival is a plain search for one goal, as textbooks have it, beside which ours
// is set: it works on shares of the ranges, and rounds to the steps of a problem
// only to fly.
type rival struct {
	problem *optimize.Problem
	fly     func(x []float64, r *optimize.Result)
	rng     *rand.Rand
	left    int // flights
	best    float64
	scales  []float64 // of each limit, the largest violation so far
}

// A try is a point of the unit cube with what came of it.
type try struct {
	at     []float64
	goal   float64
	misses []float64
	failed bool
}

func newRival(p *optimize.Problem, flights int, seed uint64) *rival {
	return &rival{p, p.Guarded(), rand.New(rand.NewPCG(seed, 7)), flights, math.Inf(1), make([]float64, p.Limits)}
}

func (r *rival) anywhere() []float64 {
	at := make([]float64, len(r.problem.Variables))
	for i := range at {
		at[i] = r.rng.Float64()
	}
	return at
}

func (r *rival) try(at []float64) try {
	x := make([]float64, len(at))
	for i, v := range r.problem.Variables {
		at[i] = reflected(at[i])
		if n, value := v.Values(); n > 0 {
			x[i] = value(min(int64(at[i]*float64(n)), n-1))
		} else {
			x[i] = v.From + at[i]*(v.To-v.From)
		}
	}
	res := optimize.Result{Goals: make([]float64, 1), Violations: make([]float64, r.problem.Limits)}
	r.fly(x, &res)
	r.left--
	t := try{slices.Clone(at), res.Goals[0], res.Violations, res.Failed}
	for k, v := range res.Violations {
		r.scales[k] = max(r.scales[k], v)
	}
	if !t.failed && r.excess(&t) == 0 {
		r.best = min(r.best, t.goal)
	}
	return t
}

func reflected(v float64) float64 {
	v = math.Abs(math.Mod(v, 2))
	if v > 1 {
		v = 2 - v
	}
	return v
}

func (r *rival) excess(t *try) float64 {
	sum := 0.0
	for k, v := range t.misses {
		if v > 0 {
			sum += v / r.scales[k]
		}
	}
	return sum
}

// compare puts the feasible first, then those that miss least (Deb, Computer
// Methods in Applied Mechanics and Engineering 186 311–338 (2000)).
func (r *rival) compare(a, b try) int {
	rank := func(t *try) (float64, float64) {
		if t.failed {
			return math.Inf(1), 0
		}
		return r.excess(t), t.goal
	}
	x, y := rank(&a)
	u, v := rank(&b)
	return slices.Compare([]float64{x, y}, []float64{u, v})
}

// evolveDifferences is differential evolution with a population of 30, F 0.5 and
// CR 0.9: rand/1/bin (Storn & Price, Journal of Global Optimization 11 341–359
// (1997)) or current-to-best/1/bin (Price, Storn & Lampinen (2005)).
func (r *rival) evolveDifferences(toBest bool) float64 {
	const population, f, cr = 30, 0.5, 0.9
	var members []try
	for len(members) < population && r.left > 0 {
		members = append(members, r.try(r.anywhere()))
	}
	for i := 0; r.left > 0; i = (i + 1) % population {
		of := func() []float64 { return members[r.rng.IntN(population)].at }
		a, b, c, best := of(), of(), of(), slices.MinFunc(members, r.compare).at
		child := slices.Clone(members[i].at)
		always := r.rng.IntN(len(child))
		for k := range child {
			switch {
			case k != always && r.rng.Float64() >= cr:
			case toBest:
				child[k] += f*(best[k]-child[k]) + f*(b[k]-c[k])
			default:
				child[k] = a[k] + f*(b[k]-c[k])
			}
		}
		if t := r.try(child); r.compare(t, members[i]) <= 0 {
			members[i] = t
		}
	}
	return r.best
}

// adaptCovariance is CMA-ES, started anew with twice the population where its
// steps have become small (Hansen, "The CMA evolution strategy: a tutorial",
// arXiv:1604.00772; Auger & Hansen, IEEE CEC 2005).
func (r *rival) adaptCovariance() float64 {
	n := len(r.problem.Variables)
	for lambda := 4 + int(3*math.Log(float64(n))); r.left > 0; lambda *= 2 {
		r.adapt(n, lambda)
	}
	return r.best
}

// A strategy is how CMA-ES adapts in n dimensions, from the fittest half of lambda tries:
// constants and formulas of Hansen's tutorial, by their names there.
type strategy struct {
	weights                       []float64
	effective, cs, ds, cc, c1, cm float64
	dim, chi, sigma               float64
	mean, ps, pc                  *mat.VecDense
	cov                           *mat.SymDense
}

// A draw is a try of a strategy: standard normal numbers, and those along its axes.
type draw struct {
	z, y *mat.VecDense
	try
}

func newStrategy(n, lambda int, mean []float64) *strategy {
	dim, mu := float64(n), lambda/2
	weights, sum, squares := make([]float64, mu), 0.0, 0.0
	for i := range weights {
		weights[i] = math.Log(float64(mu)+0.5) - math.Log(float64(i+1))
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
		squares += weights[i] * weights[i]
	}
	effective := 1 / squares
	cs := (effective + 2) / (dim + effective + 5)
	c1 := 2 / ((dim+1.3)*(dim+1.3) + effective)
	s := strategy{
		weights: weights, effective: effective, cs: cs,
		ds: 1 + 2*max(0, math.Sqrt((effective-1)/(dim+1))-1) + cs,
		cc: (4 + effective/dim) / (dim + 4 + 2*effective/dim), c1: c1,
		cm:  min(1-c1, 2*(effective-2+1/effective)/((dim+2)*(dim+2)+effective)),
		dim: dim, chi: math.Sqrt(dim) * (1 - 1/(4*dim) + 1/(21*dim*dim)), sigma: 0.3,
		mean: mat.NewVecDense(n, mean), ps: mat.NewVecDense(n, nil), pc: mat.NewVecDense(n, nil), cov: mat.NewSymDense(n, nil),
	}
	for i := range n {
		s.cov.SetSym(i, i, 1)
	}
	return &s
}

// axes returns the directions and lengths in which a strategy draws; false where it has
// shrunk to a point, or is lost.
func (s *strategy) axes() (axes mat.Dense, lengths []float64, ok bool) {
	var eigen mat.EigenSym
	if !eigen.Factorize(s.cov, true) {
		return axes, nil, false
	}
	eigen.VectorsTo(&axes)
	lengths = eigen.Values(nil)
	for i, v := range lengths {
		lengths[i] = math.Sqrt(max(v, 1e-20))
	}
	return axes, lengths, s.sigma*slices.Max(lengths) >= 1e-6 && s.sigma <= 1e3
}

// learn moves a strategy by the fittest draws, which come first.
func (s *strategy) learn(draws []draw, axes *mat.Dense, generation int) {
	n := s.mean.Len()
	step, white := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i, w := range s.weights {
		step.AddScaledVec(step, w, draws[i].y)
		white.AddScaledVec(white, w, draws[i].z)
	}
	s.mean.AddScaledVec(s.mean, s.sigma, step)
	for i := range n {
		s.mean.SetVec(i, min(max(s.mean.AtVec(i), 0), 1))
	}
	white.MulVec(axes, mat.VecDenseCopyOf(white))
	s.ps.ScaleVec(1-s.cs, s.ps)
	s.ps.AddScaledVec(s.ps, math.Sqrt(s.cs*(2-s.cs)*s.effective), white)
	long := mat.Norm(s.ps, 2)
	h := 0.0
	if long/math.Sqrt(1-math.Pow(1-s.cs, 2*float64(generation))) < (1.4+2/(s.dim+1))*s.chi {
		h = 1
	}
	s.pc.ScaleVec(1-s.cc, s.pc)
	s.pc.AddScaledVec(s.pc, h*math.Sqrt(s.cc*(2-s.cc)*s.effective), step)
	s.cov.ScaleSym(1-s.c1-s.cm+(1-h)*s.c1*s.cc*(2-s.cc), s.cov)
	s.cov.SymRankOne(s.cov, s.c1, s.pc)
	for i, w := range s.weights {
		s.cov.SymRankOne(s.cov, s.cm*w, draws[i].y)
	}
	s.sigma *= math.Exp(s.cs / s.ds * (long/s.chi - 1))
}

func (r *rival) adapt(n, lambda int) {
	s := newStrategy(n, lambda, r.anywhere())
	for generation := 1; r.left > 0; generation++ {
		axes, lengths, ok := s.axes()
		if !ok {
			return
		}
		var draws []draw
		for len(draws) < lambda && r.left > 0 {
			z, y := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
			for i := range n {
				z.SetVec(i, r.rng.NormFloat64())
				y.SetVec(i, z.AtVec(i)*lengths[i])
			}
			y.MulVec(&axes, mat.VecDenseCopyOf(y))
			at := make([]float64, n)
			for i := range at {
				at[i] = s.mean.AtVec(i) + s.sigma*y.AtVec(i)
			}
			draws = append(draws, draw{z, y, r.try(at)})
		}
		if len(draws) < len(s.weights) {
			return
		}
		slices.SortStableFunc(draws, func(a, b draw) int { return r.compare(a.try, b.try) })
		s.learn(draws, &axes, generation)
	}
}
