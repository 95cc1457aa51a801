package optimize

import (
	"math"
	"slices"
	"sort"
)

// A chain is the archive for 2 goals. Its members are kept in order: those that
// a newcomer may meet stand together.
type chain struct {
	shelf
	order []int32 // by rising first, hence falling second goal
}

func newChain(rows Rows) *chain {
	c := &chain{shelf: shelf{m: 2, rows: rows, count: rows.Len()}}
	for p := range c.count {
		c.order = append(c.order, int32(p))
	}
	slices.SortFunc(c.order, func(p, q int32) int { return slices.Compare(c.goals(p), c.goals(q)) })
	return c
}

func (c *chain) offer(genes, goals []float64, slack float64, tolerance []float64) {
	x, y, dx, dy := goals[0], goals[1], tolerance[0], tolerance[1]
	from, to := c.falls(math.Nextafter(y+dy, inf)), c.rises(math.Nextafter(x+dx, inf))
	for i := from; i < to; i++ { // nowhere worse than the newcomer
		p := c.order[i]
		if !within(goals, c.goals(p), tolerance) || slack <= c.rows.Slack[p] {
			return
		}
	}
	from = c.rises(x - dx)
	to = max(from, c.falls(y-dy))
	c.remove(c.order[from:to])
	c.order = slices.Replace(c.order, from, to, c.put(genes, goals, slack))
}

// rises returns the first place in order with a first goal of at least v.
func (c *chain) rises(v float64) int {
	return sort.Search(len(c.order), func(i int) bool { return c.rows.Goals[2*c.order[i]] >= v })
}

// falls returns the first place in order with a second goal below v.
func (c *chain) falls(v float64) int {
	return sort.Search(len(c.order), func(i int) bool { return c.rows.Goals[2*c.order[i]+1] < v })
}

func (c *chain) pack() (Rows, []int32) {
	if c.count == 0 {
		return c.members(), nil
	}
	return c.members(c.order), []int32{int32(c.count)}
}
