package optimize

import "github.com/MaxHalford/eaopt"

// poll fills children with those neighbours of the best design so far that were
// not flown, n at most: one index 1, 2 or 4 steps away, then two of them 1 or 2
// steps each; at last every other of its unordered choices, alone and with an
// index one step away. Where all were flown, there are none.
func (e *epoch) poll(parents eaopt.Individuals, n int) {
	best := e.champion()
	if best == nil {
		best = parents[0].Genome.(*genome).genes
	}
	for _, moves := range e.neighbours() {
		if len(e.children) >= n {
			return
		}
		g := e.born(nil)
		e.children = e.children[:len(e.children)-1]
		g.slot, g.settler = 0, false
		copy(g.genes, best)
		for _, m := range moves {
			g.genes[m.axis] += m.by
		}
		if e.isNew(g) {
			e.remember(g.print)
			e.children = append(e.children, eaopt.Individual{Genome: g})
		} else {
			e.spare = append(e.spare, g)
		}
	}
}

// neighbours lists the ways from an index to those nearby.
func (e *epoch) neighbours() (ways [][]move) {
	var indices, choices []int
	for i := range e.axes {
		switch {
		case e.axes[i].unordered:
			choices = append(choices, i)
		case e.axes[i].whole:
			indices = append(indices, i)
		}
	}
	for _, by := range []float64{1, 2, 4} {
		for _, i := range indices {
			ways = append(ways, []move{{i, by}}, []move{{i, -by}})
		}
	}
	for _, by := range []float64{1, 2} {
		for at, i := range indices {
			for _, j := range indices[:at] {
				ways = append(ways,
					[]move{{i, by}, {j, by}}, []move{{i, by}, {j, -by}},
					[]move{{i, -by}, {j, by}}, []move{{i, -by}, {j, -by}})
			}
		}
	}
	for _, i := range choices {
		for by := -e.axes[i].high; by <= e.axes[i].high; by++ {
			ways = append(ways, []move{{i, by}})
			for _, j := range indices {
				ways = append(ways, []move{{i, by}, {j, 1}}, []move{{i, by}, {j, -1}})
			}
		}
	}
	return ways
}

// A move changes one gene.
type move struct {
	axis int
	by   float64
}

// isNew tells whether g is within the axes and was not flown.
func (e *epoch) isNew(g *genome) bool {
	for i, v := range g.genes {
		if e.axes[i].settle(v) != v {
			return false
		}
	}
	g.print = fingerprint(g.genes)
	return !memory(e.island.Flown).holds(g.print)
}

// champion returns the genes of the best feasible design so far, nil where there
// is none.
func (e *epoch) champion() []float64 {
	q := e.archive.(*quilt)
	if q.count == 0 {
		return nil
	}
	p, n := int(q.best()[0]), len(e.axes)
	return q.rows.Genes[p*n : p*n+n]
}
