package optimize

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/MaxHalford/eaopt"
)

// dumbFronts peels front after front; a beats b says that a comes first.
func dumbFronts(n int, beats func(a, b int) bool) []int32 {
	front := slices.Repeat([]int32{-1}, n)
	for f, left := int32(0), n; left > 0; f++ {
		var peeled []int
		for b := range n {
			free := front[b] < 0
			for a := range n {
				free = free && !(front[a] < 0 && beats(a, b))
			}
			if free {
				peeled = append(peeled, b)
			}
		}
		for _, b := range peeled {
			front[b] = f
			left--
		}
	}
	return front
}

// scattered returns n points with many ties in single goals and some in all.
func scattered(rng *rand.Rand, n, m, levels int) (goals, slack []float64) {
	for range n * m {
		goals = append(goals, float64(rng.IntN(levels)))
	}
	for range n {
		slack = append(slack, float64(rng.IntN(3)))
	}
	return goals, slack
}

func TestSortAgainstDumbSort(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 0))
	var r ranker
	for m := 1; m <= mostGoals; m++ {
		for round := range 80 {
			n := 1 + rng.IntN(60)
			goals, slack := scattered(rng, n, m, 2+round)
			row := func(i int) []float64 { return goals[i*m : i*m+m] }
			plain := func(a, b int) bool { return noWorse(row(a), row(b)) && !slices.Equal(row(a), row(b)) }
			bySlack := func(a, b int) bool {
				if !slices.Equal(row(a), row(b)) {
					return noWorse(row(a), row(b))
				}
				return slack[a] > slack[b] || slack[a] == slack[b] && a < b
			}
			got := make([]int32, n)
			count := r.sort(goals, m, nil, got)
			if want := dumbFronts(n, plain); !slices.Equal(got, want) || count != int(slices.Max(want))+1 {
				t.Fatalf("%d goals %v: fronts %v (%d), want %v", m, goals, got, count, want)
			}
			r.sort(goals, m, slack, got)
			if want := dumbFronts(n, bySlack); !slices.Equal(got, want) {
				t.Fatalf("%d goals %v slack %v: fronts %v, want %v", m, goals, slack, got, want)
			}
		}
	}
}

// The survivors are a prefix of what constrained domination orders: no design
// left out beats one that was kept.
func TestSurvivorsAgainstConstrainedDomination(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 0))
	for m := 1; m <= mostGoals; m++ {
		for _, algorithm := range []Algorithm{Default, Reference} {
			for range 30 {
				p := &Problem{Variables: unit(2), Goals: m, Limits: 2, Evaluator: always(nil)}
				e := newEpoch(t.Context(), p, Settings{Population: 20, Flights: 100, Algorithm: algorithm}.filled(p), Island{}, 1)
				for i := range 40 {
					g := e.born(nil)
					goals, _ := scattered(rng, 1, m, 12)
					copy(g.result.Goals, goals)
					if rng.IntN(2) == 0 {
						g.result.Violations[i%2] = float64(rng.IntN(5))
					}
					g.result.Failed = rng.IntN(8) == 0
				}
				e.record()
				all := slices.Clone(e.children)
				kept := e.survivors(eaopt.Individuals{})
				if len(kept) != 20 {
					t.Fatalf("%d survivors, want 20", len(kept))
				}
				in := map[*genome]bool{}
				for i := range kept {
					g := kept[i].Genome.(*genome)
					in[g] = true
					if kept[i].Fitness != float64(i) || !kept[i].Evaluated {
						t.Fatalf("survivor %d: fitness %v, want its place", i, kept[i].Fitness)
					}
				}
				for _, a := range all {
					for _, b := range all {
						x, y := a.Genome.(*genome), b.Genome.(*genome)
						if in[y] && !in[x] && beatsUnderLimits(x, y, e.island.Scales) {
							t.Fatalf("%v goals: left out %+v, kept %+v", m, x.result, y.result)
						}
					}
				}
			}
		}
	}
}

func beatsUnderLimits(a, b *genome, scales []float64) bool {
	switch {
	case a.result.Failed != b.result.Failed:
		return b.result.Failed
	case a.result.Failed:
		return false
	case a.feasible() != b.feasible():
		return a.feasible()
	case a.feasible():
		return noWorse(a.result.Goals, b.result.Goals) && !slices.Equal(a.result.Goals, b.result.Goals)
	}
	return excess(a.result.Violations, scales) < excess(b.result.Violations, scales)
}
