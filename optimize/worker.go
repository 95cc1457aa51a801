package optimize

import (
	"context"
	"sync"
	"sync/atomic"

	"github.com/MaxHalford/eaopt"
)

// A worker evaluates the designs of genomes, one at a time.
type worker struct {
	axes     []axis
	evaluate func(x []float64, r *Result)
	x        []float64
}

func newWorker(e *epoch) *worker {
	return &worker{e.axes, e.problem.Guarded(), make([]float64, len(e.axes))}
}

func (w *worker) fly(g *genome) {
	for i := range w.x {
		w.x[i] = w.axes[i].value(g.genes[i])
	}
	w.evaluate(w.x, &g.result)
	g.flown = true
}

// flyAll evaluates the children, each into its own row, and returns those that
// were flown: all of them unless ctx ended.
func flyAll(ctx context.Context, crew []*worker, children eaopt.Individuals) eaopt.Individuals {
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
	for _, w := range crew {
		busy.Go(func() {
			for {
				i := int(taken.Add(1)) - 1
				if i >= len(children) || ctx.Err() != nil {
					return
				}
				w.fly(children[i].Genome.(*genome))
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
