package optimize

import (
	"math/rand"

	"github.com/MaxHalford/eaopt"
)

// A search for one goal looks for one design, not for many that differ: by the
// survival of a front its population would soon be copies of each other. Here a
// child competes with the one member that it was made from. When the better half
// of the members stand together the population is drawn anew, since the archive
// keeps the best, and the last flights go to the neighbours of that best.
//
// The best design often stands where limits meet. At first designs that miss them
// by little compete by their goal, so that the members come there from both sides;
// what counts as little falls to nothing well before the end. Which child is flown
// is chosen by a forecast, where one can be trusted.
//
// Source of that: Takahama & Sakai, "Constrained optimization by the ε constrained
// differential evolution", IEEE CEC 2006, with a level of our own.
//
// Source of the child that moves towards the best: Price, Storn & Lampinen,
// Differential Evolution, Springer (2005), section 3.3.1.
const (
	towardsChance = 0.7  // that a child moves towards the best
	leastPull     = 0.3  // of K and F, which are drawn anew for each such child
	mostPull      = 0.9  // of the same
	fewGenes      = 0.3  // of such children, the share that changes few genes, with a chance of
	fewChance     = 0.2  // for each, where single variables matter on their own
	pullMutated   = 0.1  // of such children, the share that is mutated
	huddle        = 1e-5 // of an axis, within which members stand together; an index may differ by one
	pollFrom      = 0.7  // of the flights, after which neighbours are tried
	strictFrom    = 0.6  // of the flights, after which no limit may be missed
	manyFeasible  = 0.1  // of the flights; where fewer are feasible a small miss is far off
)

// breedSingle fills children with n children of members that are in order.
func (e *epoch) breedSingle(parents eaopt.Individuals, n int) {
	e.children = e.children[:0]
	if float64(e.island.Flights) >= pollFrom*float64(e.budget) {
		e.poll(parents, n)
	}
	if len(e.children) == 0 && e.huddled(parents) {
		e.scatter(len(parents), n)
		return
	}
	e.ahead = e.foresee(parents)
	for slot := range n - len(e.children) {
		g := e.heir(parents, slot%len(parents))
		e.children = e.children[:len(e.children)-1]
		e.admit(eaopt.Individual{Genome: g})
	}
}

// heir appends a child that member at competes with.
func (e *epoch) heir(parents eaopt.Individuals, at int) *genome {
	of := func(i int) *genome { return parents[i].Genome.(*genome) }
	n := len(parents)
	g := e.born(of(at))
	g.slot, g.settler = int32(at), false
	others := [3]int{e.rng.Intn(n), e.rng.Intn(n), e.rng.Intn(n)}
	if happens(e.rng, towardsChance) {
		if e.ahead != nil && happens(e.rng, e.ahead.trust) {
			e.pickForeseen(g, parents, at)
			return g
		}
		towards(e.axes, g.genes, of(0).genes, of(others[0]).genes, of(others[1]).genes, e.rng)
		if !happens(e.rng, pullMutated) {
			return g
		}
	} else {
		switch operator(e.rng.Intn(int(operators))) {
		case crossing:
			mate := e.spare[len(e.spare)-1] // its genes are free to be written over
			copy(mate.genes, of(others[0]).genes)
			simulatedBinary(e.axes, g.genes, mate.genes, e.rng)
		case differential:
			difference(e.axes, g.genes, g.genes, of(others[0]).genes, of(others[1]).genes, e.rng)
		case line:
			along(e.axes, g.genes, of(at).genes, of(others[0]).genes, e.rng)
		}
	}
	g.Mutate(e.rng)
	return g
}

// towards moves a child by K (best − child) + F (b − c), each gene with the
// chance CR and one always, and reflects it at the ends of an axis.
func towards(axes []axis, child, best, b, c []float64, rng *rand.Rand) {
	k, f := leastPull+(mostPull-leastPull)*rng.Float64(), leastPull+(mostPull-leastPull)*rng.Float64()
	always := rng.Intn(len(child))
	chance := deChance
	if happens(rng, fewGenes) {
		chance = fewChance
	}
	for i := range child {
		if i == always || happens(rng, chance) {
			if axes[i].unordered {
				child[i] = taken(best[i], b[i], c[i])
				continue
			}
			child[i] = axes[i].reflect(child[i] + float64(k*(best[i]-child[i])) + float64(f*(b[i]-c[i])))
		}
	}
}

// reflect brings a gene back that is beyond an end, as far inside as it was
// outside.
func (a *axis) reflect(g float64) float64 {
	if g < a.low {
		g = 2*a.low - g
	} else if g > a.high {
		g = 2*a.high - g
	}
	return min(max(g, a.low), a.high)
}

// huddled tells whether the better half of the members stand together.
func (e *epoch) huddled(members eaopt.Individuals) bool {
	half := members[:(len(members)+1)/2]
	for j := range e.axes {
		low, high := span(half, j)
		room := huddle * (e.axes[j].high - e.axes[j].low)
		switch {
		case e.axes[j].unordered:
			room = 0
		case e.axes[j].whole:
			room = 1
		}
		if high-low > room {
			return false
		}
	}
	return true
}

// scatter fills children with n designs from all over the space, which take the
// places of the members without a contest.
func (e *epoch) scatter(members, n int) {
	var rows [][]float64
	for len(rows) < n {
		g := e.born(nil)
		g.slot, g.settler = int32(len(rows)%members), true
		rows = append(rows, g.genes)
	}
	stratified(e.axes, rows, e.rng)
	born := e.children
	e.children = e.children[:0]
	for i := range born {
		e.admit(born[i])
	}
}

// leewayNow returns by what sum of scaled violations a member may miss its limits
// and still compete by its goal: 1 at the beginning, and less with the tenth power
// of the flights left, since a miss of a hundredth is large near the end.
func (e *epoch) leewayNow() float64 {
	if e.island.Flights == 0 {
		return 0
	}
	left := max(0, 1-float64(e.island.Flights)/float64(e.budget)/strictFrom)
	left2 := left * left
	many := min(1, float64(e.island.Feasible)/float64(e.island.Flights)/manyFeasible)
	return left2 * left2 * left2 * left2 * left2 * many * many
}

// heirs returns the members of the next population, best first: each member or
// the best child that was made from it.
func (e *epoch) heirs(parents eaopt.Individuals) eaopt.Individuals {
	e.all = append(append(e.all[:0], parents...), e.children...)
	e.leeway = e.leewayNow()
	e.divide()
	order := e.best(len(e.usable))
	if e.leeway > 0 { // the best need not be feasible
		for i := range e.children {
			e.offer(e.children[i].Genome.(*genome))
		}
	}
	e.leeway = 0
	e.tier()
	e.kept = append(e.kept[:0], make([]bool, len(e.all))...)
	e.chosen = e.chosen[:0]
	taken := make([]bool, len(parents))
	for i := range parents {
		parents[i].Genome.(*genome).slot = int32(i)
	}
	left := make([]bool, len(parents)) // for a settler
	for i := range e.children {
		if g := e.children[i].Genome.(*genome); g.settler {
			left[g.slot] = true
		}
	}
	contest := func(i int32) {
		slot := e.all[i].Genome.(*genome).slot
		gone := int(i) < len(parents) && left[slot]
		if !gone && !taken[slot] && len(e.chosen) < e.settings.Population {
			taken[slot] = true
			e.keep(i)
		}
	}
	for _, i := range order {
		contest(e.usable[i])
	}
	for _, i := range e.other {
		contest(i)
	}
	for i := range e.all {
		if !e.kept[i] {
			e.spare = append(e.spare, e.all[i].Genome.(*genome))
		}
	}
	e.children = e.children[:0]
	return e.chosen
}
