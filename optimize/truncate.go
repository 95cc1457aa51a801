package optimize

import (
	"cmp"
	"math"
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

// thin returns the members of front, rows of goals of width m that do not
// dominate each other, with all but keep of them taken away. The order stays.
// It writes over front.
func (t *truncator) thin(goals []float64, m int, front []int32, keep int) []int32 {
	if len(front) <= keep {
		return front
	}
	if keep <= 0 {
		return front[:0]
	}
	n := len(front)
	t.scale(goals, m, front)
	t.gone = append(t.gone[:0], make([]bool, n)...)
	t.share = append(t.share[:0], make([]float64, n)...)
	switch m {
	case 1:
		for i := keep; i < n; i++ {
			t.gone[i] = true
		}
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
		low[k] = math.Inf(1)
		high := math.Inf(-1)
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
	t.order = t.order[:0]
	for i := range n {
		t.order = append(t.order, int32(i))
	}
	x := t.x
	slices.SortFunc(t.order, func(a, b int32) int {
		if x[2*a] != x[2*b] {
			return cmp.Compare(x[2*a], x[2*b])
		}
		return int(a - b)
	})
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
		return math.Inf(1)
	}
	return (t.x[2*a] - t.x[2*p]) * (t.x[2*b+1] - t.x[2*p+1])
}

// thin3 uses that a contribution can only grow while others leave: an old
// value is a lower bound, and only the least one needs to be brought up to
// date before it is believed.
func (t *truncator) thin3(n, keep int) {
	t.solids = t.solids[:0]
	for i := range n { // the sweep is along the first goal, by which a front comes sorted
		t.solids = append(t.solids, solid{x: t.x[3*i+1], y: t.x[3*i+2], z: t.x[3*i], row: i})
	}
	slices.SortFunc(t.solids, func(a, b solid) int {
		if a.z != b.z {
			return cmp.Compare(a.z, b.z)
		}
		return a.row - b.row
	})
	live := t.solids
	ref := 1 + 1/float64(partition3(keep))
	t.all(live, ref)
	for removed := 0; n-removed > keep; {
		at, least, next := 0, math.Inf(1), math.Inf(1)
		for i := range live {
			if s := live[i].share; s < least {
				at, least, next = i, s, least
			} else if s < next {
				next = s
			}
		}
		if live[at].fresh < removed {
			live[at].share = t.exclusive(at, live, ref)
			live[at].fresh = removed
			if live[at].share >= next {
				continue
			}
		}
		t.gone[live[at].row] = true
		live = append(live[:at], live[at+1:]...)
		removed++
	}
}

// A solid is a point of a front of 3 goals.
type solid struct {
	x, y, z float64
	share   float64 // contribution; a lower bound where stale
	fresh   int     // removals when share was computed
	row     int
}

// partition3 returns the divisions h of a triangle that has about n points,
// (h+1)(h+2)/2. A reference point 1/h beyond the front weighs its rim like its
// inside.
//
// Source: Ishibuchi, Imada, Setoguchi & Nojima, Evolutionary Computation 26(3)
// 411–440 (2018).
func partition3(n int) int {
	h := 1
	for (h+2)*(h+3)/2 <= n {
		h++
	}
	return h
}

// all notes the contribution of every point. The points passed by the sweep
// leave a staircase, in which each finds its neighbours.
func (t *truncator) all(live []solid, ref float64) {
	passed := t.passed[:0]
	for i := range live {
		p := &live[i]
		from, right, top := after(passed, p.x), ref, ref // beyond these, others cover all
		if from > 0 {
			top = passed[from-1].z
		}
		if top <= p.y {
			p.share = 0
			continue
		}
		to := from
		for to < len(passed) && passed[to].z > p.y {
			to++
		}
		if to < len(passed) {
			right = passed[to].y
		}
		if i > 0 && live[i-1].z == p.z || i+1 < len(live) && live[i+1].z == p.z { // each is in the other's way
			p.share = t.exclusive(i, live, ref)
		} else {
			s := &t.stairs
			s.x0, s.y0, s.x1, s.y1 = p.x, p.y, right, top
			s.corners = append(s.corners[:0], passed[from:to]...)
			p.share = t.tower(p, s.free(), live[i+1:], ref)
		}
		passed = climb(passed, stair{p.x, p.y})
	}
	t.passed = passed
}

// exclusive returns the volume below ref that only live[at] dominates. live
// is sorted by z.
func (t *truncator) exclusive(at int, live []solid, ref float64) float64 {
	p := &live[at]
	right, top := ref, ref
	above := at + 1
	for above < len(live) && live[above].z == p.z {
		above++
	}
	t.beside = t.beside[:0]
	for i := range above {
		q := &live[i]
		if q.x >= right || q.y >= top || i == at {
			continue
		}
		if q.y <= p.y {
			right = q.x
		} else if q.x <= p.x {
			top = q.y
		} else {
			t.beside = append(t.beside, int32(i))
		}
	}
	if right <= p.x || top <= p.y {
		return 0
	}
	s := &t.stairs
	s.x0, s.y0, s.x1, s.y1 = p.x, p.y, right, top
	s.corners = s.corners[:0]
	free := (right - p.x) * (top - p.y)
	for _, i := range t.beside {
		if q := &live[i]; q.x < right && q.y < top {
			free -= s.add(q.x, q.y)
		}
	}
	return t.tower(p, free, live[above:], ref)
}

// tower returns what p alone dominates from its own z on, where it is the part
// of t.stairs that no corner covers, of area free. above are the points with a
// larger z.
func (t *truncator) tower(p *solid, free float64, above []solid, ref float64) float64 {
	s := &t.stairs
	right, top := s.x1, s.y1
	sum, z := 0.0, p.z
	for i := range above {
		q := &above[i]
		if q.x >= right || q.y >= top {
			continue
		}
		sum += float64(free * (q.z - z))
		z = q.z
		if q.x <= p.x {
			top = q.y
		}
		if q.y <= p.y {
			right = q.x
		}
		if right <= p.x || top <= p.y { // above here p dominates nothing alone
			return sum
		}
		free -= s.add(q.x, q.y)
	}
	return sum + float64(free*(ref-z))
}

// thinNear takes away one of the closest pair, the one whose next neighbours
// are nearer on the whole; the best of each goal stays.
func (t *truncator) thinNear(n, m, keep int) {
	t.near = append(t.near[:0], make([][2]int32, n)...)
	live := t.order[:0]
	for i := range n {
		live = append(live, int32(i))
	}
	for _, p := range live {
		t.nearest(p, live, m)
	}
	if keep >= m {
		for k := range m {
			best := 0
			for i := range n {
				if t.x[i*m+k] < t.x[best*m+k] {
					best = i
				}
			}
			t.share[best] = math.Inf(1)
		}
	}
	for left := n; left > keep; left-- {
		at := t.least(live)
		worst := live[at]
		t.gone[worst] = true
		live = append(live[:at], live[at+1:]...)
		for _, p := range live {
			if (t.near[p][0] == worst || t.near[p][1] == worst) && !math.IsInf(t.share[p], 1) {
				t.nearest(p, live, m)
			}
		}
	}
	t.order = live
}

// nearest finds the two neighbours of p; share becomes the product of the distances
// to the nearest two, which parts the members of a closest pair.
func (t *truncator) nearest(p int32, live []int32, m int) {
	first, second := math.Inf(1), math.Inf(1)
	a := t.x[int(p)*m : int(p)*m+m]
	for _, q := range live {
		if q == p {
			continue
		}
		b := t.x[int(q)*m : int(q)*m+m]
		d := 0.0
		for k, v := range a {
			d += float64((v - b[k]) * (v - b[k]))
		}
		switch {
		case d < first:
			first, second = d, first
			t.near[p] = [2]int32{q, t.near[p][0]}
		case d < second:
			second = d
			t.near[p][1] = q
		}
	}
	t.share[p] = first
	if !math.IsInf(second, 1) {
		t.share[p] = float64(first * second)
	}
}
