package optimize

import "math"

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
			t.share[best] = inf
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
	first, second := inf, inf
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
