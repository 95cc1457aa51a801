package benchmarks

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
	"ullage/testdata/problems"
)

// highest returns the search of a demo brief for its first goal alone, with its
// steps or without.
func highest(tb testing.TB, name string, steps bool) *optimize.Problem {
	tb.Helper()
	one := alone(tb, name, 0)
	for i := range one.Variables {
		if !steps && len(one.Variables[i].Choices) == 0 {
			one.Variables[i].Step = 0
		}
	}
	return one
}

// alone returns the search of a demo brief with that goal as its only one; no
// method knows the brief's own design.
func alone(tb testing.TB, name string, goal int) *optimize.Problem {
	tb.Helper()
	b := briefs.Demo(tb, name)
	b.Goals = b.Goals[goal : goal+1]
	p, err := study.Problem(b)
	if err != nil {
		tb.Fatal(err)
	}
	p.First = nil
	return p
}

// A search for height alone of 3000 flights ends within a thousandth of the best
// that a long one finds, with steps and without.
func TestHighestOf3000(t *testing.T) {
	for _, name := range []string{"field-day.toml", "highest-in-class.toml"} {
		for _, steps := range []bool{true, false} {
			p := highest(t, name, steps)
			found := func(flights int, seed uint64) float64 {
				return evolve(t, p, optimize.Settings{Seed: seed, Flights: flights, Islands: 1})[0].Goals[0]
			}
			best := found(20_000, 1000)
			for seed := range uint64(5) {
				if got := found(3000, seed+1); got > 0.999*best {
					t.Errorf("%s, steps %v, seed %d: %v, want within 0.1 %% of %v", name, steps, seed+1, -got, -best)
				}
			}
		}
	}
}

// A way finds the least of a problem's goal in so many flights.
type way struct {
	name   string
	search func(p *optimize.Problem, flights int, seed uint64) float64
}

// waysTo returns ours and the textbooks'.
func waysTo(b *testing.B) []way {
	return []way{
		{"ullage", func(p *optimize.Problem, flights int, seed uint64) float64 {
			found, err := optimize.Evolve(context.Background(), p, optimize.Settings{Seed: seed, Flights: flights}, 1, nil)
			if err != nil {
				b.Fatal(err)
			}
			if !found.Met {
				return math.Inf(1)
			}
			return found.Archive[0].Goals[0]
		}},
		{"DE current-to-best/1", func(p *optimize.Problem, flights int, seed uint64) float64 {
			return newRival(p, flights, seed).evolveDifferences(true)
		}},
		{"DE rand/1", func(p *optimize.Problem, flights int, seed uint64) float64 {
			return newRival(p, flights, seed).evolveDifferences(false)
		}},
		{"CMA-ES, restarts", func(p *optimize.Problem, flights int, seed uint64) float64 {
			return newRival(p, flights, seed).adaptCovariance()
		}},
	}
}

// BenchmarkOneGoal sets searches for one goal beside differential evolution and
// CMA-ES at few flights: how far the best found is off the best that any of them
// found, and by a paired rank test whether ours is nearer.
func BenchmarkOneGoal(b *testing.B) {
	ways := waysTo(b)
	for b.Loop() {
		fmt.Printf("%% off the best found; median, worst of %d seeds; z of a paired rank test, above 1.96 ours is nearer\n| brief | flights", besideSeeds)
		for _, way := range ways {
			fmt.Printf(" | %s", way.name)
		}
		fmt.Print(" |\n| --- | --- | --- | --- | --- | --- |\n")
		for _, name := range []string{"field-day.toml", "highest-in-class.toml"} {
			for _, steps := range []bool{true, false} {
				p := highest(b, name, steps)
				// A long search tells what there is to find.
				best := ways[0].search(p, 20_000, 1000)
				for _, flights := range []int{500, 1000, 2000, 3000, 5000} {
					found := make([][]float64, len(ways))
					for i, way := range ways {
						for seed := range uint64(besideSeeds) {
							v := way.search(p, flights, seed+1)
							best = min(best, v)
							found[i] = append(found[i], v)
						}
					}
					fmt.Printf("| %s, steps %v | %d", name, steps, flights)
					for i := range ways {
						off := make([]float64, besideSeeds)
						for k, v := range found[i] {
							off[k] = 100 * min(1, 1-v/best) // of nothing found all is missing
							if math.IsInf(v, 1) {
								off[k] = 100
							}
						}
						fmt.Printf(" | %.3f, %.2f", sorted(off)[besideSeeds/2], slices.Max(off))
						if i > 0 {
							fmt.Printf(" (%+.1f)", signedRank(found[i], found[0]))
						}
					}
					fmt.Println(" |")
				}
			}
		}
	}
}

func sorted(v []float64) []float64 { return slices.Sorted(slices.Values(v)) }

// signedRank returns the normal deviate of the signed ranks of a − b: positive
// where a is larger.
//
// Source: Wilcoxon, Biometrics Bulletin 1(6) 80–83 (1945).
func signedRank(a, b []float64) float64 {
	var gaps []float64
	for i := range a {
		if d := a[i] - b[i]; d != 0 && !math.IsNaN(d) {
			gaps = append(gaps, d)
		}
	}
	slices.SortStableFunc(gaps, func(x, y float64) int { return slices.Compare([]float64{math.Abs(x)}, []float64{math.Abs(y)}) })
	sum, squares := 0.0, 0.0
	for i, d := range gaps {
		rank := float64(i + 1)
		sum += math.Copysign(rank, d)
		squares += rank * rank
	}
	if squares == 0 {
		return 0
	}
	return sum / math.Sqrt(squares)
}

// BenchmarkFewFlights ranks our search, with its own population, among plain
// NSGA-II with three, at few flights over the published problems and the demo.
func BenchmarkFewFlights(b *testing.B) {
	t := truthOf(b)
	type field struct {
		problem *optimize.Problem
		missed  func([]optimize.Design) float64
	}
	fields := []field{{t.problem, func(d []optimize.Design) float64 { return 1 - t.grid.share(d) }}}
	for _, k := range problems.All() {
		fields = append(fields, field{problemOf(k), func(d []optimize.Design) float64 {
			return 1 - optimize.Hypervolume(goalsOf(optimize.Choose(d, 100)), k.Reference)/k.Volume
		}})
	}
	ways := []optimize.Settings{{}, {Algorithm: optimize.Reference, Population: 24}, {Algorithm: optimize.Reference, Population: 40}, {Algorithm: optimize.Reference, Population: 100}}
	for b.Loop() {
		fmt.Printf("mean rank of the median of %d seeds over %d problems, 1 is best (problems on which it is best)\n", besideSeeds, len(fields))
		fmt.Println("| flights | ullage | NSGA-II, 24 | NSGA-II, 40 | NSGA-II, 100 |\n| --- | --- | --- | --- | --- |")
		for _, flights := range []int{500, 1000, 2000} {
			ranks, wins := make([]float64, len(ways)), make([]int, len(ways))
			for _, f := range fields {
				medians := make([]float64, len(ways))
				for i, s := range ways {
					var missed []float64
					for seed := range uint64(besideSeeds) {
						s.Seed, s.Flights = seed+1, flights
						found, err := optimize.Evolve(context.Background(), f.problem, s, 1, nil)
						if err != nil {
							b.Fatal(err)
						}
						if !found.Met {
							found.Archive = nil
						}
						missed = append(missed, f.missed(found.Archive))
					}
					medians[i] = sorted(missed)[besideSeeds/2]
				}
				for i, v := range medians {
					better, equal := 0, 0
					for _, w := range medians {
						if w < v {
							better++
						} else if w == v {
							equal++
						}
					}
					ranks[i] += float64(better) + float64(equal+1)/2
					if better == 0 {
						wins[i]++
					}
				}
			}
			fmt.Printf("| %d", flights)
			for i := range ways {
				fmt.Printf(" | %.2f (%d)", ranks[i]/float64(len(fields)), wins[i])
			}
			fmt.Println(" |")
		}
	}
}
