package study

import (
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
