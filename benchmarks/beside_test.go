package benchmarks

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"ullage/optimize"
	"ullage/optimize/sweep"
	"ullage/testdata/problems"
)

// The figures are medians and quartiles over seeds 1 to 21.
const besideSeeds = 21

// percent writes the median and the quartiles of shares.
func percent(shares []float64) string {
	v := slices.Sorted(slices.Values(shares))
	n := len(v) - 1
	return fmt.Sprintf("%.2f (%.2f–%.2f)", 100*v[n/2], 100*v[n/4], 100*v[n*3/4])
}

// randomDesigns lists n designs of the grid at random.
func randomDesigns(p *optimize.Problem, n int, seed uint64) sweep.Plan {
	rng := rand.New(rand.NewPCG(seed, 0))
	return listed(p, n, func(int, int) float64 { return rng.Float64() })
}

// latinDesigns lists n designs, each variable of which has one in every nth
// part of its range.
func latinDesigns(p *optimize.Problem, n int, seed uint64) sweep.Plan {
	source := rand.NewPCG(seed, 0)
	batch := mat.NewDense(n, len(p.Variables), nil)
	samplemv.LatinHypercube{Q: distmv.NewUnitUniform(len(p.Variables), source), Src: source}.Sample(batch)
	return listed(p, n, batch.At)
}

// listed returns the plan of n designs that lie at a share, from 0 to 1, of the
// range of each variable, all of which have steps.
func listed(p *optimize.Problem, n int, share func(i, k int) float64) sweep.Plan {
	width := len(p.Variables)
	x := make([]float64, 0, n*width)
	for i := range n {
		for k, v := range p.Variables {
			c, value := v.Values()
			x = append(x, value(min(int64(share(i, k)*float64(c)), c-1)))
		}
	}
	return sweep.Plan{Size: int64(n), At: func(i int64, to []float64) { copy(to, x[int(i)*width:]) }}
}

// sampled returns the non-dominated designs of a plan.
func sampled(p *optimize.Problem, plan sweep.Plan) []optimize.Design {
	var tally sweep.Tally
	tally.Advance(context.Background(), p, plan, plan.Size, 2)
	out := make([]optimize.Design, len(tally.Front))
	for i, m := range tally.Front {
		out[i].Goals, out[i].Slack = m.Goals, m.Slack
	}
	return out
}

// BenchmarkBeside sets the search beside other ways to spend the same number
// of flights. It prints tables, of which testing would cut a log.
func BenchmarkBeside(b *testing.B) {
	b.Run("demo", besideOnDemo)
	b.Run("problems", besideOnProblems)
}

// besideOnDemo tells what part of the truth's hypervolume each way finds.
func besideOnDemo(b *testing.B) {
	general := startGeneral(b)
	t := truthOf(b)
	limits := demo(b).Limits
	bounds := make([]float64, len(limits))
	for k := range limits {
		bounds[k] = 1 / limits[k].Scaled(1)
	}
	ways := []struct {
		name   string
		search func(flights int, seed uint64) (found, archive []optimize.Design)
	}{
		{"random sample", func(flights int, seed uint64) (found, archive []optimize.Design) {
			archive = sampled(t.problem, randomDesigns(t.problem, flights, seed))
			return optimize.Choose(archive, 100), archive
		}},
		{"Latin hypercube", func(flights int, seed uint64) (found, archive []optimize.Design) {
			archive = sampled(t.problem, latinDesigns(t.problem, flights, seed))
			return optimize.Choose(archive, 100), archive
		}},
		{"NSGA-II of pymoo", func(flights int, seed uint64) (found, archive []optimize.Design) {
			return general.search(b, t.problem, bounds, t.grid.reference, flights, seed)
		}},
		{"ullage", func(flights int, seed uint64) (found, archive []optimize.Design) {
			archive = evolve(b, t.problem, optimize.Settings{Seed: seed, Flights: flights})
			return optimize.Choose(archive, 100), archive
		}},
	}
	for b.Loop() {
		fmt.Printf("%% of the hypervolume of the whole front (%d designs); median (quartiles) of %d seeds; below the grid's worst, %v, and below the front's worst, %v\n",
			len(t.designs), besideSeeds, t.grid.reference, t.near.reference)
		fmt.Printf("| flights | way | all found | 100 designs | near: all found | near: 100 designs |\n| --- | --- | --- | --- | --- | --- |\n")
		for _, flights := range []int{5000, 60_000} {
			for _, way := range ways {
				shares := make([][]float64, 4)
				for seed := range uint64(besideSeeds) {
					found, archive := way.search(flights, seed+1)
					for i, share := range []float64{t.grid.share(archive), t.grid.share(found), t.near.share(archive), t.near.share(found)} {
						shares[i] = append(shares[i], share)
					}
				}
				fmt.Printf("| %d | %s", flights, way.name)
				for _, s := range shares {
					fmt.Printf(" | %s", percent(s))
				}
				fmt.Println(" |")
			}
		}
		best := optimize.Choose(t.designs, 100)
		fmt.Printf("| all | the whole grid | 100 | %.2f | 100 | %.2f |\n", 100*t.grid.share(best), 100*t.near.share(best))
	}
}

// besideOnProblems tells what part of the exact hypervolume 100 designs miss
// after 10 000 evaluations.
func besideOnProblems(b *testing.B) {
	const evaluations = 10_000
	general := startGeneral(b)
	for b.Loop() {
		fmt.Printf("%% of the exact hypervolume missed after %d evaluations; median (quartiles) of %d seeds\n", evaluations, besideSeeds)
		fmt.Printf("| problem | goals | NSGA-II of pymoo | best 100 that it saw | our reference mode | ullage |\n| --- | --- | --- | --- | --- | --- |\n")
		for _, k := range problems.All() {
			p := problemOf(k)
			ones := slices.Repeat([]float64{1}, p.Limits)
			missed := func(designs []optimize.Design) float64 {
				return 1 - optimize.Hypervolume(goalsOf(optimize.Choose(designs, 100)), k.Reference)/k.Volume
			}
			var last, seen, reference, ours []float64
			for seed := range uint64(besideSeeds) {
				found, archive := general.search(b, p, ones, k.Reference, evaluations, seed+1)
				last, seen = append(last, missed(found)), append(seen, missed(archive))
				reference = append(reference, missed(evolve(b, p, optimize.Settings{Seed: seed + 1, Flights: evaluations, Algorithm: optimize.Reference})))
				ours = append(ours, missed(evolve(b, p, optimize.Settings{Seed: seed + 1, Flights: evaluations})))
			}
			fmt.Printf("| %s | %d", k.Name, k.Goals)
			for _, v := range [][]float64{last, seen, reference, ours} {
				fmt.Printf(" | %s", percent(v))
			}
			fmt.Println(" |")
		}
	}
}

// problemOf returns a published problem as the search takes it.
func problemOf(k problems.Problem) *optimize.Problem {
	p := &optimize.Problem{Goals: k.Goals, Limits: k.Limits, Distances: true}
	for i := range k.From {
		p.Variables = append(p.Variables, optimize.Variable{From: k.From[i], To: k.To[i]})
	}
	p.Evaluator = func() func([]float64, *optimize.Result) {
		return func(x []float64, r *optimize.Result) { r.Slack = k.Evaluate(x, r.Goals, r.Violations) }
	}
	return p
}
