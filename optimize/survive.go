package optimize

import (
	"cmp"
	"slices"

	"github.com/MaxHalford/eaopt"
)

// record counts the children flown and lets them widen the scales.
func (e *epoch) record() {
	isl := &e.island
	for i := range e.children {
		g := e.children[i].Genome.(*genome)
		isl.Flights++
		if g.result.Failed {
			isl.Failed++
			continue
		}
		for k, v := range g.result.Violations {
			isl.Scales[k] = max(isl.Scales[k], v)
		}
		if !g.feasible() {
			continue
		}
		isl.Feasible++
		if isl.Worst == nil {
			isl.Worst = slices.Clone(g.result.Goals)
		}
		for k, v := range g.result.Goals {
			isl.Worst[k] = max(isl.Worst[k], v)
		}
		if e.problem.Keep > 0 {
			e.retain(g)
		}
	}
}

// survivors returns the members of the next population, best first: feasible
// designs by front, then by the sum of their violations, each scaled by the
// largest of its kind so far, failed ones last. It gives credit to operators,
// offers children to the archive and takes back the genomes of the others.
//
// Source of constrained domination: Deb et al. (2002).
func (e *epoch) survivors(parents eaopt.Individuals) eaopt.Individuals {
	e.all = append(append(e.all[:0], parents...), e.children...)
	e.divide()
	keep := min(e.settings.Population, len(e.all))
	e.chosen = e.chosen[:0]
	e.kept = append(e.kept[:0], make([]bool, len(e.all))...)
	best := e.best(keep)
	e.tier()
	for _, i := range best {
		e.keep(e.usable[i])
	}
	for _, i := range e.other {
		if len(e.chosen) < keep {
			e.keep(i)
		}
	}
	var born, lived [operators]int
	for i := range e.all {
		g := e.all[i].Genome.(*genome)
		if i >= len(parents) {
			born[g.parent]++
			if e.kept[i] {
				lived[g.parent]++
			}
		}
		if !e.kept[i] {
			e.spare = append(e.spare, g)
		}
	}
	if parents != nil {
		credit(e.island.Credits, born, lived)
	}
	e.children = e.children[:0]
	return e.chosen
}

// tier notes the front of each design that divide and a selector have ordered.
func (e *epoch) tier() {
	for i, at := range e.usable {
		e.all[at].Genome.(*genome).front = e.sel.front[i]
	}
	for i, at := range e.other {
		e.all[at].Genome.(*genome).front = int32(len(e.usable) + i)
	}
}

func (e *epoch) keep(i int32) {
	place := float64(len(e.chosen))
	g := e.all[i].Genome.(*genome)
	g.rank = place
	e.kept[i] = true
	e.chosen = append(e.chosen, e.all[i])
	c := &e.chosen[len(e.chosen)-1]
	c.Fitness, c.Evaluated = place, true
}

// divide parts the feasible, and those that leeway lets pass for such, from the
// others and puts these in order.
func (e *epoch) divide() {
	e.usable, e.other = e.usable[:0], e.other[:0]
	e.goals, e.slack = e.goals[:0], e.slack[:0]
	for i := range e.all {
		g := e.all[i].Genome.(*genome)
		if g.feasible() || e.leeway > 0 && !g.result.Failed && excess(g.result.Violations, e.island.Scales) <= e.leeway {
			e.usable = append(e.usable, int32(i))
			e.goals = append(e.goals, g.result.Goals...)
			e.slack = append(e.slack, g.result.Slack)
			continue
		}
		e.other = append(e.other, int32(i))
		g.excess = excess(g.result.Violations, e.island.Scales)
	}
	slices.SortFunc(e.other, func(a, b int32) int {
		x, y := e.all[a].Genome.(*genome), e.all[b].Genome.(*genome)
		if x.result.Failed != y.result.Failed {
			if y.result.Failed {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(x.excess, y.excess), int(a-b))
	})
}

func excess(violations, scales []float64) float64 {
	sum := 0.0
	for k, v := range violations {
		if v > 0 {
			sum += v / scales[k]
		}
	}
	return sum
}

// best returns keep of the feasible designs, as places in usable, and offers
// the children in the first front to the archive: the members that dominate
// the others' were offered before, or are being now.
func (e *epoch) best(keep int) []int32 {
	if len(e.usable) == 0 {
		return nil
	}
	m := e.problem.Goals
	if e.settings.Algorithm == Reference {
		return e.sel.pickCrowded(e.goals, m, keep)
	}
	picked := e.sel.pick(e.goals, m, e.slack, keep)
	for k := range m {
		low, high := extent(e.goals, m, k)
		e.margin[k] = sameGoals * (high - low)
	}
	parents := int32(len(e.all) - len(e.children))
	for i, at := range e.usable {
		if at >= parents && e.sel.front[i] == 0 {
			e.offer(e.all[at].Genome.(*genome))
		}
	}
	return picked
}
