package optimize

import (
	"context"
	"math"
	"sync"
	"sync/atomic"

	"github.com/MaxHalford/eaopt"
)

// Guarded returns an evaluator with scratch of its own, whose caller gives a
// Result of the right shape and always gets one back: a panic, a result of
// another shape or one that holds no finite numbers is a failed flight, all of
// whose numbers are 0.
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
		if r.Failed || !sound(r) {
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

// sound tells whether the numbers of a result can be ranked.
func sound(r *Result) bool {
	for _, v := range r.Goals {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	for _, v := range r.Violations {
		if !(v >= 0) || math.IsInf(v, 0) {
			return false
		}
	}
	return !math.IsNaN(r.Slack)
}

// A pilot evaluates the designs of genomes, one at a time.
type pilot struct {
	axes     []axis
	evaluate func(x []float64, r *Result)
	x        []float64
}

func newPilot(e *epoch) *pilot {
	return &pilot{e.axes, e.problem.Guarded(), make([]float64, len(e.axes))}
}

func (p *pilot) fly(g *genome) {
	for i := range p.x {
		p.x[i] = p.axes[i].value(g.genes[i])
	}
	p.evaluate(p.x, &g.result)
	g.flown = true
}

// flyAll evaluates the children, each into its own row, and returns those that
// were flown: all of them unless ctx ended.
func flyAll(ctx context.Context, crew []*pilot, children eaopt.Individuals) eaopt.Individuals {
	if len(crew) == 1 {
		for i := range children {
			if ctx.Err() != nil {
				return children[:i]
			}
			crew[0].fly(children[i].Genome.(*genome))
		}
		return children
	}
	var taken atomic.Int64
	var busy sync.WaitGroup
	for _, p := range crew {
		busy.Go(func() {
			for {
				i := int(taken.Add(1)) - 1
				if i >= len(children) || ctx.Err() != nil {
					return
				}
				p.fly(children[i].Genome.(*genome))
			}
		})
	}
	busy.Wait()
	flown := children[:0]
	for _, c := range children {
		if c.Genome.(*genome).flown {
			flown = append(flown, c)
		}
	}
	return flown
}
