package study

import (
	"context"
	"slices"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// stepBackFlights is how many flights of a design tell by how much its numbers
// scatter while many designs are looked at. Ours.
const stepBackFlights = 4

// SteppedBack returns the search of b for designs with room: each limit of
// safety is held so many deviations off the mean of a few flights, by the
// scatter of a Call. It errs as Problem does.
func SteppedBack(b *brief.Brief, deviations float64) (*optimize.Problem, error) {
	p, err := Problem(b.OnceEach())
	if err != nil {
		return nil, err
	}
	z := make([]float64, len(b.Limits))
	for k := range z {
		if b.Limits[k].Safety() {
			z[k] = deviations
		}
	}
	draws, usual := scatter.ForCall(b, stepBackFlights, callSeed)
	p.Cost = draws.Flights()
	p.Evaluator = func() func(x []float64, r *optimize.Result) {
		c := &Caller{ensemble: newEnsemble(b, draws), usual: usual}
		return func(x []float64, r *optimize.Result) {
			c.rocket, c.site = b.At(x)
			c.onScale()
			c.flyAll(nil)
			c.judge(r, z)
		}
	}
	return p, nil
}

// Inside reports which designs of b keep their limits so many deviations off, by a
// few flights each. The result does not depend on workers; where ctx ends first
// some are not reported. It errs as Problem does.
func Inside(ctx context.Context, b *brief.Brief, designs [][]float64, deviations float64, workers int) ([]bool, error) {
	p, err := SteppedBack(b, deviations)
	if err != nil {
		return nil, err
	}
	inside := make([]bool, len(designs))
	Each(ctx, len(designs), workers, func() func(i int) {
		fly := p.Evaluator()
		r := optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
		return func(i int) {
			fly(designs[i], &r)
			inside[i] = !r.Failed && !slices.ContainsFunc(r.Violations, func(v float64) bool { return v > 0 })
		}
	})
	return inside, nil
}

// SearchBack searches b, with so many flights and from some designs, for designs
// that keep their limits so many deviations off, and returns at most n of them
// with the flights that it took. The result does not depend on workers. It errs as
// Problem does; where nothing keeps the limits it returns no designs.
func SearchBack(ctx context.Context, b *brief.Brief, from [][]float64, deviations float64, flights, n, workers int) (designs [][]float64, flown int, err error) {
	p, err := SteppedBack(b, deviations)
	if err != nil {
		return nil, 0, err
	}
	p.First = append(p.First, from...)
	found, err := optimize.Evolve(ctx, p, optimize.Settings{Seed: b.Search.Seed, Flights: flights, Population: b.Search.Population}, workers, nil)
	if err != nil || !found.Met {
		return nil, found.Flights, err
	}
	for _, d := range optimize.Choose(found.Archive, n) {
		designs = append(designs, d.X)
	}
	return designs, found.Flights, nil
}

// GoalsOf returns what designs are worth in the goals of b, minimised, each
// flown once as set; nil of one that lacks a goal.
func GoalsOf(b *brief.Brief, designs [][]float64) [][]float64 {
	all, scratch := make([][]float64, len(designs)), model.NewScratch()
	for i, x := range designs {
		r, s := b.At(x)
		f := model.Fly(&r, &s, scratch)
		goals := make([]float64, len(b.Goals))
		for k := range b.Goals {
			v, ok := worth(&b.Goals[k], number(&b.Goals[k].Metric, &r, &s, &f))
			if !ok {
				goals = nil
				break
			}
			goals[k] = v
		}
		all[i] = goals
	}
	return all
}
