package optimize

import (
	"context"
	"math"
	"sync"
	"sync/atomic"

	"github.com/MaxHalford/eaopt"
)

// A pilot evaluates designs, one at a time, by an evaluator of its own.
type pilot struct {
	run      *epoch
	evaluate func(x []float64, r *Result)
	x        []float64
}

func newPilot(e *epoch) *pilot {
	return &pilot{run: e, evaluate: e.problem.Evaluator(), x: make([]float64, len(e.axes))}
}

// fly evaluates g. A panic, a result of the wrong shape or one that holds no
// finite numbers is a failed flight.
func (p *pilot) fly(g *genome) {
	for i := range p.x {
		p.x[i] = p.run.axes[i].value(g.genes[i])
	}
	r := &g.result
	clear(r.Goals)
	clear(r.Violations)
	r.Slack, r.Failed = 0, false
	goals, violations := r.Goals, r.Violations
	if !p.call(r) {
		p.evaluate = p.run.problem.Evaluator() // the old one's scratch is suspect
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
		clear(r.Goals)
		clear(r.Violations)
		r.Slack, r.Failed = 0, true
	}
	g.flown = true
}

// call reports whether the evaluator returned.
func (p *pilot) call(r *Result) (returned bool) {
	defer func() {
		if !returned {
			_ = recover()
		}
	}()
	p.evaluate(p.x, r)
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
