package optimize

import (
	"math/rand"
	"slices"

	"github.com/MaxHalford/eaopt"
)

// A genome is one design in the form that the host of the generations knows.
// Its slices are views into rows that an epoch reuses.
type genome struct {
	run     *epoch
	genes   []float64
	result  Result
	print   uint64
	parent  operator
	flown   bool
	slot    int32   // one goal: place of the member that it competes with
	settler bool    // one goal: it takes that place without a contest
	excess  float64 // sum of the scaled violations
	rank    float64 // place in the population, from 0
	front   int32   // number of the front; an infeasible design is its own, in order
}

// feasible tells whether the design was computed and meets every limit.
func (g *genome) feasible() bool {
	if g.result.Failed {
		return false
	}
	for _, v := range g.result.Violations {
		if v > 0 {
			return false
		}
	}
	return true
}

// Evaluate returns the place in the population: what the host is given was flown.
func (g *genome) Evaluate() (float64, error) { return g.rank, nil }

// Mutate is polynomial mutation with a chance of 1/n for each gene.
func (g *genome) Mutate(rng *rand.Rand) { polynomial(g.run.axes, g.genes, g.run.far, rng) }

// Crossover is simulated binary crossover; it changes both genomes.
func (g *genome) Crossover(mate eaopt.Genome, rng *rand.Rand) {
	simulatedBinary(g.run.axes, g.genes, mate.(*genome).genes, rng)
}

// Clone returns a genome with memory of its own.
func (g *genome) Clone() eaopt.Genome {
	c := *g
	c.genes = slices.Clone(g.genes)
	c.result.Goals = slices.Clone(g.result.Goals)
	c.result.Violations = slices.Clone(g.result.Violations)
	return &c
}
