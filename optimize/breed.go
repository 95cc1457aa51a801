package optimize

import (
	"github.com/MaxHalford/eaopt"
)

// mostTries bounds the mutations that are tried to make a child that was not
// flown before.
const mostTries = 10

// first fills children with the first population: the given designs of this
// island, the rest spread over the space.
func (e *epoch) first() {
	e.children = e.children[:0]
	n := min(e.settings.Population, e.budget)
	var rows [][]float64
	for len(rows) < n {
		g := e.born(nil)
		rows = append(rows, g.genes)
	}
	given := e.given(max(n/2, 1)) // the rest is to find what they do not know
	for i, x := range given {
		for j := range x {
			rows[i][j] = e.axes[j].gene(x[j])
		}
	}
	stratified(e.axes, rows[len(given):], e.rng)
	born := e.children
	e.children = e.children[:0]
	for i := range born {
		e.admit(born[i])
	}
}

// given deals the problem's own designs round the islands. Where there are too
// many they are taken at even distances, so that neither end of a front that
// comes in order is left out.
func (e *epoch) given(most int) [][]float64 {
	var mine [][]float64
	for i := e.island.Index; i < len(e.problem.First); i += e.settings.Islands {
		mine = append(mine, e.problem.First[i])
	}
	taken := make([][]float64, min(most, len(mine)))
	for k := range taken {
		taken[k] = mine[k*len(mine)/len(taken)]
	}
	return taken
}

// born appends a child with the genes of parent, if there is one.
func (e *epoch) born(parent *genome) *genome {
	last := len(e.spare) - 1
	g := e.spare[last]
	e.spare = e.spare[:last]
	g.flown = false
	if parent != nil {
		copy(g.genes, parent.genes)
	}
	e.children = append(e.children, eaopt.Individual{Genome: g})
	return g
}

// breed fills children with n children of the parents, fewer where no design
// is left that was not flown.
func (e *epoch) breed(parents eaopt.Individuals, n int) {
	e.children = e.children[:0]
	for slot := 0; slot < n; {
		at := len(e.children)
		slot += e.conceive(parents, n-slot)
		made := e.children[at:]
		e.children = e.children[:at]
		for i := range made {
			made[i].Mutate(e.rng)
			e.admit(made[i])
		}
	}
}

// conceive appends the children of one use of one operator, at most room, and
// returns how many.
func (e *epoch) conceive(parents eaopt.Individuals, room int) int {
	op := crossing
	if e.settings.Algorithm == Default && len(parents) >= smallestPopulation {
		op = choose(e.island.Credits, e.rng)
	}
	at := len(e.children)
	of := func(i int) *genome { return parents[i].Genome.(*genome) }
	var picks [4]int
	switch op {
	case crossing:
		a, b := e.couple(parents)
		e.born(a)
		mate := e.born(b)
		if happens(e.rng, crossChance) {
			e.children[at].Crossover(e.children[at+1], e.rng)
		}
		if room == 1 {
			e.children = e.children[:at+1]
			e.spare = append(e.spare, mate)
		}
	case differential:
		distinct(e.rng, len(parents), picks[:4])
		child := e.born(of(picks[0]))
		difference(e.axes, child.genes, of(picks[1]).genes, of(picks[2]).genes, of(picks[3]).genes, e.rng)
	case line:
		distinct(e.rng, len(parents), picks[:2])
		child := e.born(of(picks[0]))
		along(e.axes, child.genes, of(picks[0]).genes, of(picks[1]).genes, e.rng)
	}
	for i := at; i < len(e.children); i++ {
		e.children[i].Genome.(*genome).parent = op
	}
	return len(e.children) - at
}

// couple picks two parents, each the better of two: by its front, in the
// reference mode by its place, which takes in the crowding distance. Default
// does not prefer the less violating: that would draw the whole population
// into the feasible region that was found first.
func (e *epoch) couple(parents eaopt.Individuals) (a, b *genome) {
	n := len(parents)
	of := func(i int) *genome { return parents[i].Genome.(*genome) }
	if e.settings.Algorithm == Reference {
		return of(min(e.rng.Intn(n), e.rng.Intn(n))), of(min(e.rng.Intn(n), e.rng.Intn(n)))
	}
	better := func(a, b *genome) *genome {
		if a.feasible() && b.front < a.front {
			return b
		}
		return a
	}
	if n < 4 {
		return of(e.rng.Intn(n)), of(e.rng.Intn(n))
	}
	var picks [4]int
	distinct(e.rng, n, picks[:])
	return better(of(picks[0]), of(picks[1])), better(of(picks[2]), of(picks[3]))
}

// admit puts a child among the children, changed until it is one that this
// island has not flown. It is left out where there is none to be found.
func (e *epoch) admit(child eaopt.Individual) {
	g := child.Genome.(*genome)
	settle(e.axes, g.genes)
	if e.settings.Algorithm == Reference || e.renew(g) {
		e.children = append(e.children, child)
		return
	}
	e.spare = append(e.spare, g)
}

// renew makes g a design that was not flown and remembers it.
func (e *epoch) renew(g *genome) bool {
	fresh := func() bool {
		g.print = fingerprint(g.genes)
		return !memory(e.island.Flown).holds(g.print)
	}
	found := fresh()
	if !found && e.designs > 0 && e.island.Held >= e.designs {
		return false
	}
	for try := 0; try < mostTries && !found; try++ {
		i := e.rng.Intn(len(g.genes))
		mutate(&e.axes[i], &g.genes[i], e.far, e.rng)
		g.Mutate(e.rng)
		found = fresh()
	}
	for try := 0; try < e.designs && !found; try++ {
		next(e.axes, g.genes)
		found = fresh()
	}
	if found {
		e.remember(g.print)
	}
	return found
}

func (e *epoch) remember(print uint64) {
	e.island.Flown = memory(e.island.Flown).with(print, e.island.Held)
	e.island.Held++
}
