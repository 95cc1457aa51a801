package optimize

import (
	"cmp"
	"slices"
)

// retainedShare is what remains of the kept designs where there would be more
// than Problem.Keep.
const retainedShare = 0.9

// retain keeps a feasible design. Where there are too many the last fronts go,
// so that what is kept depends on the designs flown and their order alone.
func (e *epoch) retain(g *genome) {
	rows := &e.island.Kept
	rows.Genes = append(rows.Genes, g.genes...)
	rows.Goals = append(rows.Goals, g.result.Goals...)
	rows.Slack = append(rows.Slack, g.result.Slack)
	rows.Failed = append(rows.Failed, false)
	if rows.Len() <= e.problem.Keep {
		return
	}
	var sel selector
	best := slices.Clone(sel.pick(rows.Goals, e.problem.Goals, rows.Slack, max(1, int(retainedShare*float64(e.problem.Keep)))))
	slices.Sort(best)
	var left Rows
	for _, i := range best {
		left.appendRow(rows, int(i))
	}
	*rows = left
}

// kept returns the designs that all islands keep, each once, by rising goals,
// of those with equal goals the one with the largest slack first.
func (c *course) kept(axes []axis) []Design {
	var all []Design
	for i := range c.Islands {
		all = append(all, c.Islands[i].Kept.designs(c.problem, axes)...)
	}
	slices.SortFunc(all, func(a, b Design) int {
		return cmp.Or(slices.Compare(a.Goals, b.Goals), cmp.Compare(b.Slack, a.Slack), slices.Compare(a.X, b.X))
	})
	return slices.CompactFunc(all, func(a, b Design) bool { return slices.Equal(a.X, b.X) })
}
