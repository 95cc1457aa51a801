package optimize

import (
	"cmp"
	"slices"
)

// A pair is a design of a block with its nearest neighbour there, at a squared
// distance in shares of the archive's ranges.
type pair struct {
	distance float64
	p, near  int32
}

// thin takes out the designs that are nearest to a neighbour in their block,
// never both of a pair, until about thinnedTo remain; the best of each goal
// stays.
func (q *quilt) thin() {
	best := q.best()
	gone := make([]bool, q.rows.Len())
	var out []int32
	for _, x := range q.pairs() {
		if q.count-len(out) <= thinnedTo {
			break
		}
		if !gone[x.near] && !slices.Contains(best, x.p) {
			gone[x.p] = true
			out = append(out, x.p)
		}
	}
	q.remove(out)
	for i := range q.blocks {
		b := &q.blocks[i]
		for _, p := range b.clear() {
			if !gone[p] {
				q.enter(b, p)
			}
		}
	}
	q.sweepEmpty()
	q.divide()
}

// best returns, for each goal, the row of the first member that is best in it.
func (q *quilt) best() []int32 {
	best := make([]int32, q.m)
	for k := range best {
		best[k] = q.blocks[0].rows[0]
	}
	for i := range q.blocks {
		for _, p := range q.blocks[i].rows {
			for k, v := range q.goals(p) {
				if v < q.goals(best[k])[k] {
					best[k] = p
				}
			}
		}
	}
	return best
}

// pairs returns a pair for every member, the closest first.
func (q *quilt) pairs() []pair {
	pairs := make([]pair, 0, q.count)
	per := q.per()
	for i := range q.blocks {
		b := &q.blocks[i]
		at := len(pairs)
		for _, p := range b.rows {
			pairs = append(pairs, pair{inf, p, p})
		}
		near := pairs[at:]
		for j := range near {
			x := b.goals[j*q.m : j*q.m+q.m]
			for l := j + 1; l < len(near); l++ {
				d := 0.0
				for k, v := range b.goals[l*q.m : l*q.m+q.m] {
					gap := (v - x[k]) * per[k]
					d += float64(gap * gap)
				}
				if d < near[j].distance {
					near[j].distance, near[j].near = d, near[l].p
				}
				if d < near[l].distance {
					near[l].distance, near[l].near = d, near[j].p
				}
			}
		}
	}
	slices.SortFunc(pairs, func(x, y pair) int { return cmp.Or(cmp.Compare(x.distance, y.distance), int(x.p-y.p)) })
	return pairs
}
