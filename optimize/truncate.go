package optimize

import (
	"cmp"
	"slices"
)

// A truncator thins a front: it takes away, one at a time, the point that the
// front can best spare. With 2 and 3 goals that is the least contributor to
// the hypervolume, from 4 the nearest neighbour. Its buffers are reused.
type truncator struct {
	x      []float64 // goals scaled to the front's range, a row a point
	order  []int32
	before []int32
	after  []int32
	gone   []bool
	share  []float64  // contribution or distance
	near   [][2]int32 // the nearest two
	beside []int32
	solids []solid
	stairs staircase
	passed []stair
}

// thin returns the members of front, rows of 2 or more goals that do not
// dominate each other, with all but keep of them, at least 1, taken away; of one
// goal a front has one member. The order stays.
// It writes over front.
func (t *truncator) thin(goals []float64, m int, front []int32, keep int) []int32 {
	n := len(front)
	t.scale(goals, m, front)
	t.gone = append(t.gone[:0], make([]bool, n)...)
	t.share = append(t.share[:0], make([]float64, n)...)
	switch m {
	case 2:
		t.thin2(n, keep)
	case 3:
		t.thin3(n, keep)
	default:
		t.thinNear(n, m, keep)
	}
	kept := front[:0]
	for i, p := range front {
		if !t.gone[i] {
			kept = append(kept, p)
		}
	}
	return kept
}

func (t *truncator) scale(goals []float64, m int, front []int32) {
	t.x = t.x[:0]
	var low, factor [mostGoals]float64
	for k := range m {
		low[k] = inf
		high := -inf
		for _, p := range front {
			v := goals[int(p)*m+k]
			low[k], high = min(low[k], v), max(high, v)
		}
		if high > low[k] {
			factor[k] = 1 / (high - low[k])
		}
	}
	for _, p := range front {
		for k := range m {
			t.x = append(t.x, (goals[int(p)*m+k]-low[k])*factor[k])
		}
	}
}

// thin2 keeps both ends; between them a point contributes the rectangle
// between its neighbours, so that a removal changes only those two.
func (t *truncator) thin2(n, keep int) {
	t.link(n)
	for _, p := range t.order {
		t.share[p] = t.rectangle(p)
	}
	live := t.order
	for left := n; left > keep; left-- {
		at := t.least(live)
		worst := live[at]
		live = append(live[:at], live[at+1:]...)
		t.gone[worst] = true
		b, a := t.before[worst], t.after[worst]
		if b >= 0 {
			t.after[b] = a
			t.share[b] = t.rectangle(b)
		}
		if a >= 0 {
			t.before[a] = b
			t.share[a] = t.rectangle(a)
		}
	}
}

// link puts n points of 2 goals in order and notes the neighbours of each.
func (t *truncator) link(n int) {
	t.order = t.order[:0]
	for i := range n {
		t.order = append(t.order, int32(i))
	}
	x := t.x
	slices.SortFunc(t.order, func(a, b int32) int { return cmp.Compare(x[2*a], x[2*b]) }) // none are equal: one would dominate the other
	t.before = append(t.before[:0], make([]int32, n)...)
	t.after = append(t.after[:0], make([]int32, n)...)
	for i, p := range t.order {
		t.before[p], t.after[p] = -1, -1
		if i > 0 {
			t.before[p] = t.order[i-1]
		}
		if i+1 < n {
			t.after[p] = t.order[i+1]
		}
	}
}

// least returns the place in live of the point with the least share, the first
// of equals.
func (t *truncator) least(live []int32) int {
	at := 0
	for i, p := range live {
		if t.share[p] < t.share[live[at]] {
			at = i
		}
	}
	return at
}

func (t *truncator) rectangle(p int32) float64 {
	b, a := t.before[p], t.after[p]
	if b < 0 || a < 0 {
		return inf
	}
	return (t.x[2*a] - t.x[2*p]) * (t.x[2*b+1] - t.x[2*p+1])
}
