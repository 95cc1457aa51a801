package optimize

import (
	"cmp"
	"slices"
)

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
		at, least, next := 0, inf, inf
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

// A solid is a point of a front of 3 goals: x and y lie in the plane that the
// sweep passes, z along it.
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
			top = passed[from-1].y
		}
		if top <= p.y {
			p.share = 0
			continue
		}
		to := from
		for to < len(passed) && passed[to].y > p.y {
			to++
		}
		if to < len(passed) {
			right = passed[to].x
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
		switch q := &live[i]; {
		case i == at:
		case q.y <= p.y:
			right = min(right, q.x)
		case q.x <= p.x:
			top = min(top, q.y)
		default:
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
