package main

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"ullage/optimize"
)

// A watch shows how far a search has come.
type watch struct {
	meter
	cost int64 // flights that an evaluation counts for

	mu     sync.Mutex
	volume map[int]float64 // hypervolume at the last barrier, by island
}

// watch counts the evaluations of p from now on, onto those of a search that
// goes on, and shows them, unless quiet.
func (s streams) watch(p *optimize.Problem, from optimize.State, total int, quiet bool) *watch {
	w := &watch{volume: map[int]float64{}}
	for _, r := range from.Records[len(from.Records)-len(from.Islands):] {
		w.barrier(r)
		w.flights.Add(int64(r.Flights))
		w.feasible.Add(int64(r.Feasible))
	}
	evaluator, cost := p.Evaluator, int64(max(p.Cost, 1))
	w.cost = cost
	p.Evaluator = func() func([]float64, *optimize.Result) {
		evaluate := evaluator()
		return func(x []float64, r *optimize.Result) {
			evaluate(x, r)
			w.flights.Add(cost)
			if !r.Failed && !slices.ContainsFunc(r.Violations, func(v float64) bool { return v > 0 }) {
				w.feasible.Add(cost)
			}
		}
	}
	w.total, w.before, w.job = int64(total), w.flights.Load(), "search"
	w.tail = func() string {
		return fmt.Sprintf("%3.0f %% feasible  hypervolume %-9.4g", 100*w.share(), w.hypervolume())
	}
	w.facts = func() []any {
		return []any{"feasible_percent", fmt.Sprintf("%.0f", 100*w.share()), "hypervolume", fmt.Sprintf("%.4g", w.hypervolume())}
	}
	w.run(s.err, quiet)
	return w
}

// over counts what a runner has flown elsewhere.
func (w *watch) over(run optimize.Runner) optimize.Runner {
	return func(ctx context.Context, isl optimize.Island) (optimize.Island, error) {
		flown, err := run(ctx, isl)
		w.flights.Add(w.cost * int64(flown.Flights-isl.Flights))
		w.feasible.Add(w.cost * int64(flown.Feasible-isl.Feasible))
		return flown, err
	}
}

func (w *watch) share() float64 {
	return float64(w.feasible.Load()) / float64(max(w.flights.Load(), 1))
}

// barrier notes what an island reached.
func (w *watch) barrier(r optimize.Record) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.volume[r.Island] = r.Hypervolume
}

// hypervolume is the largest of any island.
func (w *watch) hypervolume() float64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	best := 0.0
	for _, v := range w.volume {
		best = max(best, v)
	}
	return best
}
