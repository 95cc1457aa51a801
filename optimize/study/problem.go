package study

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// Problem returns the search that a brief asks for. Its variables, goals and
// violations are in the order of b.Vary, b.Goals and b.Limits; its first design
// is the brief's own, which the search brings to the nearest allowed values. It errs where nothing is
// varied or nothing is aimed for.
func Problem(b *brief.Brief) (*optimize.Problem, error) {
	var faults []error
	if len(b.Vary) == 0 {
		faults = append(faults, fmt.Errorf("%s:1:1: vary: nothing to vary, want at least one quantity in [vary] that --set does not fix", b.Name))
	}
	if len(b.Goals) == 0 {
		faults = append(faults, fmt.Errorf("%s:1:1: goals: no goal, want at least one in [goals] that --set does not fix", b.Name))
	}
	if faults != nil {
		return nil, errors.Join(faults...)
	}
	p := &optimize.Problem{Goals: len(b.Goals), Limits: len(b.Limits), Distances: len(b.Goals) == 1}
	for i := range b.Vary {
		v := &b.Vary[i]
		p.Variables = append(p.Variables, optimize.Variable{Name: v.Key, From: v.From, To: v.To, Step: v.Step, Choices: v.Choices, Unordered: v.Names != nil})
	}
	p.First = [][]float64{b.Own()}
	if b.Search.Robust.Draws > 0 {
		robustly(b, p)
		return p, nil
	}
	p.Evaluator = func() func(x []float64, r *optimize.Result) { return evaluator(b) }
	return p, nil
}

// evaluator returns a function that flies a design, with scratch of its own.
func evaluator(b *brief.Brief) func(x []float64, r *optimize.Result) {
	scratch, judge := model.NewScratch(), NewJudge(b)
	rocket, site := b.Rocket, b.Site
	return func(x []float64, r *optimize.Result) {
		b.Place(x, &rocket, &site)
		f := model.Fly(&rocket, &site, scratch)
		r.Failed = f.Outcome != model.Landed
		for i := range b.Goals {
			var has bool
			r.Goals[i], has = worth(&b.Goals[i], told(&b.Goals[i].Metric, number(&b.Goals[i].Metric, &rocket, &site, &f)))
			r.Failed = r.Failed || !has
		}
		judged(judge.limits, judge.Of(&rocket, &site, &f).Slacks, r)
	}
}

// told returns a figure to 17 binary digits, 1 mm in 100 m: the integrator errs by a
// tenth of that. What is below it would decide between designs that fly alike, as
// those do that differ by their timer, before their distance to the limits does.
func told(m *brief.Metric, v float64) float64 {
	const digits, fraction = 17, 52
	if m.Quantity != nil {
		return v
	}
	const cut = 1<<(fraction-digits+1) - 1 // the first digit is not written
	return math.Float64frombits((math.Float64bits(v) + (cut+1)/2) &^ cut)
}

// worth returns a goal's number as the search sees it: smaller is better. One
// that is not there is 0, and false.
func worth(g *brief.Goal, v float64) (float64, bool) {
	if math.IsNaN(v) {
		return 0, false
	}
	return g.Minimised(v), true
}

// deepest is how far inside a limit the search is told that a design is, in sizes
// of the bound, at most: some figures have no end.
const deepest = 10

// judged writes what the search sees of slacks into r, of one goal also how far
// inside its limits a design is.
func judged(limits []constraints.Limit, slacks []float64, r *optimize.Result) {
	room := newEase()
	for i, slack := range slacks {
		l := &limits[i]
		r.Violations[i] = l.Violation(slack)
		if math.IsNaN(slack) {
			slack = -r.Violations[i]
		}
		if len(r.Goals) == 1 && slack > 0 {
			r.Violations[i] = -min(slack, deepest/l.Scaled(1))
		}
		room.add(l.Scaled(slack))
	}
	r.Slack = room.value()
}

// mostKept is how many feasible designs an island of a robust search keeps: the
// best are few, and may all fail the proof. Ours.
const mostKept = 1000

// robustly makes p a search of designs that keep their limits under scatter.
//
// A limit is held so many deviations off the mean of a few flights that, were
// they normal, it would be kept by the share of flights that the proof at the
// end asks for.
func robustly(b *brief.Brief, p *optimize.Problem) {
	plan := b.Plan()
	draws := scatter.New(b, scatter.Search, plan.Near, plan.PerDay, b.Search.Seed)
	// Of all flights all may have to do: the half flight keeps z finite.
	z := slices.Repeat([]float64{mathext.NormalQuantile(min(share(b), 1-0.5/float64(plan.Days)))}, len(b.Limits))
	p.Cost, p.Keep = draws.Flights(), mostKept
	p.Evaluator = func() func(x []float64, r *optimize.Result) {
		e := newEnsemble(b, draws)
		return func(x []float64, r *optimize.Result) {
			e.fly(x, nil)
			e.judge(r, z)
		}
	}
}
