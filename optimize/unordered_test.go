package optimize

import (
	"context"
	"math"
	mathrand "math/rand"
	"slices"
	"testing"
)

// A gene of unordered choices is that of a parent: between the first and the last
// of a list lies nothing.
func TestNothingBetweenUnorderedChoices(t *testing.T) {
	var s source
	s.begin(1, purposeBreed, 0, 0)
	rng := mathrand.New(&s)
	axes := []axis{newAxis(Variable{Choices: []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}, Unordered: true})}
	for range 2000 {
		a, b, c := []float64{0}, []float64{8}, []float64{8}
		first, second := slices.Clone(a), slices.Clone(b)
		simulatedBinary(axes, first, second, rng)
		third, fourth, fifth := slices.Clone(a), slices.Clone(a), slices.Clone(a)
		difference(axes, third, a, b, c, rng)
		along(axes, fourth, a, b, rng)
		towards(axes, fifth, a, b, c, rng)
		for _, child := range []float64{first[0], second[0], third[0], fourth[0], fifth[0]} {
			if child != 0 && child != 8 {
				t.Fatalf("a child of the choices 0 and 8 has %v", child)
			}
		}
		if first[0] == second[0] {
			t.Fatalf("crossing 0 and 8 gives %v twice: a choice is lost", first[0])
		}
	}
}

// A mutation of unordered choices takes any other, each as often: 8000 times one
// of 8 others is 1000 for each, with a deviation of √(8000·1/8·7/8) = 30.
func TestMutationTakesAnyOther(t *testing.T) {
	var s source
	s.begin(1, purposeBreed, 0, 0)
	rng := mathrand.New(&s)
	a := newAxis(Variable{Choices: []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}, Unordered: true})
	var times [9]int
	for range 8000 {
		g := 4.0
		mutate(&a, &g, farShare, rng)
		times[int(g)]++
	}
	for g, n := range times {
		if g == 4 && n != 0 || g != 4 && math.Abs(float64(n)-1000) > 5*30 {
			t.Errorf("of 8000 mutations of choice 4, %d took %d", n, g)
		}
	}
}

// The best of unordered choices is found wherever it stands in the list, though
// its neighbours there are the worst.
func TestBestUnorderedChoice(t *testing.T) {
	worth := []float64{0, 1, 2, 3, 4, 5, 6, 7, 30, 31, 9, 32, 33}
	const best = 10 // 9 with the best x, which differs from choice to choice
	for _, goals := range []int{1, 2} {
		p := &Problem{
			Variables: []Variable{{Choices: worth, Unordered: true}, {From: 0, To: 1, Step: 0.001}},
			Goals:     goals,
			Evaluator: func() func([]float64, *Result) {
				return func(x []float64, r *Result) {
					at := float64(slices.Index(worth, x[0])) / float64(len(worth))
					r.Goals[0] = x[0] + 100*(x[1]-at)*(x[1]-at)
					if x[0] == worth[best] {
						r.Goals[0] -= 20
					}
					if goals == 2 {
						r.Goals[1] = -x[1]
					}
				}
			},
		}
		for seed := range uint64(10) {
			found, err := Evolve(context.Background(), p, Settings{Seed: seed, Flights: 2000, Islands: 2, Population: 20}, 1, nil)
			if err != nil {
				t.Fatal(err)
			}
			top := slices.MinFunc(found.Archive, func(a, b Design) int { return int(1e6 * (a.Goals[0] - b.Goals[0])) })
			if top.X[0] != worth[best] || top.Goals[0] > -10.99 {
				t.Errorf("%d goals, seed %d: found choice %v at %v with %v, want %v with -11", goals, seed, top.X[0], top.X[1], top.Goals[0], worth[best])
			}
		}
	}
}

// A first design whose choice is none of the list becomes the first of it: that
// numbers of words are near says nothing.
func TestUnknownChoice(t *testing.T) {
	a := newAxis(Variable{Choices: []float64{9, 2, 5}, Unordered: true})
	for x, want := range map[float64]float64{9: 9, 5: 5, 4: 9} {
		if got := a.value(a.gene(x)); got != want {
			t.Errorf("choice %v became %v, want %v", x, got, want)
		}
	}
}
