package answers

import (
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A Price is what a limit costs a design: by how much the first goal's metric
// would improve, in its SI unit, for each SI unit by which the limit gave way,
// with the other goals as they are.
type Price struct {
	Limit   *brief.Limit
	PerUnit float64 // > 0
}

// A pilot flies designs for prices and bands.
type pilot struct {
	b       *brief.Brief
	judge   *study.Judge
	scratch *model.Scratch
	rocket  model.Rocket
	site    model.Site
}

func newPilot(b *brief.Brief) *pilot {
	return &pilot{b: b, judge: study.NewJudge(b), scratch: model.NewScratch(), rocket: b.Rocket, site: b.Site}
}

// fly returns the goals of a design, larger being better, and its slacks; false
// where it has not all of them.
func (p *pilot) fly(x []float64) (goals, slacks []float64, ok bool) {
	p.b.Place(x, &p.rocket, &p.site)
	f := model.Fly(&p.rocket, &p.site, p.scratch)
	if f.Outcome != model.Landed {
		return nil, nil, false
	}
	for i := range p.b.Goals {
		v, has := p.b.Goals[i].Value(&p.rocket, &p.site, &f)
		if !has {
			return nil, nil, false
		}
		goals = append(goals, -p.b.Goals[i].Minimised(v))
	}
	slacks = slices.Clone(p.judge.Of(&p.rocket, &p.site, &f).Slacks)
	return goals, slacks, !slices.ContainsFunc(slacks, math.IsNaN)
}

// slopes are gradients at a design, over the varied quantities that have a
// range, each counted in that range.
type slopes struct {
	goals, slacks [][]float64
	reach         []float64   // by how much each slack changes from one step below to one above
	ends          [][]float64 // away from the end of a range where the design is at one
}

// slopes takes central differences over a step, or 1/200 of a range without.
func (p *pilot) slopes(x []float64) (s slopes, ok bool) {
	s.goals, s.slacks = make([][]float64, len(p.b.Goals)), make([][]float64, len(p.b.Limits))
	s.reach = make([]float64, len(p.b.Limits))
	var free []*brief.Vary
	var at []float64
	for j := range p.b.Vary {
		v := &p.b.Vary[j]
		if v.Choices != nil {
			continue
		}
		free, at = append(free, v), append(at, x[j])
		h := max(v.Step, (v.To-v.From)/200)
		low, high := max(v.From, x[j]-h), min(v.To, x[j]+h)
		y := append([]float64(nil), x...)
		y[j] = low
		g0, s0, ok0 := p.fly(y)
		y[j] = high
		g1, s1, ok1 := p.fly(y)
		if !ok0 || !ok1 {
			return s, false
		}
		scale := (v.To - v.From) / (high - low)
		for i := range g0 {
			s.goals[i] = append(s.goals[i], (g1[i]-g0[i])*scale)
		}
		for i := range s0 {
			s.slacks[i] = append(s.slacks[i], (s1[i]-s0[i])*scale)
			s.reach[i] = max(s.reach[i], math.Abs(s1[i]-s0[i]))
		}
	}
	for i, v := range free {
		half := max(v.Step, (v.To-v.From)/200) / 2
		for _, end := range []struct{ at, inward float64 }{{v.From, 1}, {v.To, -1}} {
			if math.Abs(at[i]-end.at) < half {
				away := make([]float64, len(free))
				away[i] = end.inward
				s.ends = append(s.ends, away)
			}
		}
	}
	return s, len(free) > 0
}

// prices returns what the limits that hold a design back cost it, in the order
// of b.Limits. It takes the design for the best there is with its other goals:
// the prices are the Lagrange multipliers that come nearest to balancing the
// gradient of the first goal. Quantities that go by choices are left as they
// are.
func prices(b *brief.Brief, x []float64) []Price {
	p := newPilot(b)
	_, slacks, ok := p.fly(x)
	if !ok {
		return nil
	}
	s, ok := p.slopes(x)
	if !ok {
		return nil
	}
	var active []int // of b.Limits
	var forces [][]float64
	for i, slack := range slacks {
		if l := &b.Limits[i]; slack <= s.reach[i] || l.Binding(slack) {
			active, forces = append(active, i), append(forces, s.slacks[i])
		}
	}
	forces = append(append(forces, s.goals[1:]...), s.ends...)
	weights := multipliers(forces, s.goals[0])
	var prices []Price
	for k, i := range active {
		if m := weights[k]; m > 0 {
			prices = append(prices, Price{Limit: &b.Limits[i], PerUnit: m})
		}
	}
	return prices
}

// mostForces bounds the subsets that multipliers looks through.
const mostForces = 12

// multipliers returns numbers ≥ 0, one a column, whose sum of columns comes
// nearest to −pull: non-negative least squares, by trying every subset of at
// most as many columns as there are rows. Columns beyond mostForces get 0.
func multipliers(columns [][]float64, pull []float64) []float64 {
	best := make([]float64, len(columns))
	least := norm(pull)
	k := min(len(columns), mostForces)
	target := mat.NewVecDense(len(pull), nil)
	target.ScaleVec(-1, mat.NewVecDense(len(pull), append([]float64(nil), pull...)))
	for subset := uint(1); subset < 1<<k; subset++ {
		size := bits.OnesCount(subset)
		if size > len(pull) {
			continue
		}
		a := mat.NewDense(len(pull), size, nil)
		var members []int
		for i := range k {
			if subset&(1<<i) != 0 {
				a.SetCol(len(members), columns[i])
				members = append(members, i)
			}
		}
		var m, residual mat.VecDense
		if err := m.SolveVec(a, target); err != nil || mat.Min(&m) < 0 {
			continue // dependent columns, or one that would push the wrong way
		}
		residual.MulVec(a, &m)
		residual.SubVec(&residual, target)
		// A larger subset must be better by more than rounding.
		if r := mat.Norm(&residual, 2); r < least*(1-1e-9) {
			least = r
			clear(best)
			for c, i := range members {
				best[i] = m.AtVec(c)
			}
		}
	}
	return best
}

func norm(v []float64) float64 { return mat.Norm(mat.NewVecDense(len(v), v), 2) }
