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

func (r *rival) adapt(n, lambda int) {
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
	ds := 1 + 2*max(0, math.Sqrt((effective-1)/(dim+1))-1) + cs
	cc := (4 + effective/dim) / (dim + 4 + 2*effective/dim)
	c1 := 2 / ((dim+1.3)*(dim+1.3) + effective)
	cm := min(1-c1, 2*(effective-2+1/effective)/((dim+2)*(dim+2)+effective))
	chi := math.Sqrt(dim) * (1 - 1/(4*dim) + 1/(21*dim*dim))
	mean, sigma := mat.NewVecDense(n, r.anywhere()), 0.3
	ps, pc, cov := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
	for i := range n {
		cov.SetSym(i, i, 1)
	}
	type draw struct {
		z, y *mat.VecDense
		try
	}
	for generation := 1; r.left > 0; generation++ {
		var eigen mat.EigenSym
		if !eigen.Factorize(cov, true) {
			return
		}
		var axes mat.Dense
		eigen.VectorsTo(&axes)
		lengths := eigen.Values(nil)
		for i, v := range lengths {
			lengths[i] = math.Sqrt(max(v, 1e-20))
		}
		if sigma*slices.Max(lengths) < 1e-6 || sigma > 1e3 {
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
				at[i] = mean.AtVec(i) + sigma*y.AtVec(i)
			}
			draws = append(draws, draw{z, y, r.try(at)})
		}
		if len(draws) < mu {
			return
		}
		slices.SortStableFunc(draws, func(a, b draw) int { return r.compare(a.try, b.try) })
		step, white := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		for i, w := range weights {
			step.AddScaledVec(step, w, draws[i].y)
			white.AddScaledVec(white, w, draws[i].z)
		}
		mean.AddScaledVec(mean, sigma, step)
		for i := range n {
			mean.SetVec(i, min(max(mean.AtVec(i), 0), 1))
		}
		white.MulVec(&axes, mat.VecDenseCopyOf(white))
		ps.ScaleVec(1-cs, ps)
		ps.AddScaledVec(ps, math.Sqrt(cs*(2-cs)*effective), white)
		long := mat.Norm(ps, 2)
		h := 0.0
		if long/math.Sqrt(1-math.Pow(1-cs, 2*float64(generation))) < (1.4+2/(dim+1))*chi {
			h = 1
		}
		pc.ScaleVec(1-cc, pc)
		pc.AddScaledVec(pc, h*math.Sqrt(cc*(2-cc)*effective), step)
		cov.ScaleSym(1-c1-cm+(1-h)*c1*cc*(2-cc), cov)
		cov.SymRankOne(cov, c1, pc)
		for i, w := range weights {
			cov.SymRankOne(cov, cm*w, draws[i].y)
		}
		sigma *= math.Exp(cs / ds * (long/chi - 1))
	}
}
