package optimize

import (
	"slices"
)

// Choose returns n designs of the archive that together dominate nearly as
// much as all of it, all of them where there are no more than n, and nil for
// n ≤ 0. Dominated designs are taken only after all others. With 2 and 3 goals
// the least contributor to the hypervolume leaves until n remain; with 4 and 5
// the greatest contributor enters until there are n, which takes seconds for
// 100 of 5000. The result is in the order of the first goal and shares the
// memory of the archive. All designs must have the same 1 to 5 goals.
func Choose(archive []Design, n int) []Design {
	if n <= 0 || len(archive) == 0 {
		return nil
	}
	m := len(archive[0].Goals)
	var goals, slack []float64
	for _, d := range archive {
		goals = append(goals, d.Goals...)
		slack = append(slack, d.Slack)
	}
	var s selector
	var rows []int32
	if m > 3 {
		rows = s.pick(goals, m, slack, len(archive))
		if front := int(s.start[1]); front > n {
			rows = enter(goals, m, rows[:front], n)
		} else {
			rows = s.pick(goals, m, slack, n)
		}
	} else {
		rows = s.pick(goals, m, slack, n)
	}
	slices.SortFunc(rows, func(a, b int32) int {
		if c := slices.Compare(archive[a].Goals, archive[b].Goals); c != 0 {
			return c
		}
		return int(a - b)
	})
	out := make([]Design, len(rows))
	for i, p := range rows {
		out[i] = archive[p]
	}
	return out
}

// enter picks n members of a front by the hypervolume that each adds to those
// already picked, on goals scaled to the front's range with the reference a
// tenth beyond. What a member adds can only shrink while others enter: an old
// value is an upper bound, and only the greatest needs to be brought up to
// date.
func enter(goals []float64, m int, front []int32, n int) []int32 {
	var t truncator
	t.scale(goals, m, front)
	ref := slices.Repeat([]float64{1.1}, m)
	point := func(i int) []float64 { return t.x[i*m : i*m+m] }
	adds := make([]float64, len(front))
	fresh := make([]int, len(front))
	for i := range front {
		adds[i] = box(point(i), ref)
	}
	var taken [][]float64
	var rows []int32
	clipped := make([]float64, n*m)
	limits := make([][]float64, 0, n)
	for len(rows) < n {
		at := 0
		for i := range adds {
			if adds[i] > adds[at] {
				at = i
			}
		}
		p := point(at)
		if fresh[at] == len(rows) {
			rows = append(rows, front[at])
			taken = append(taken, p)
			adds[at] = -1
			continue
		}
		limits = limits[:0]
		for i, q := range taken {
			c := clipped[i*m : i*m+m]
			for k := range c {
				c[k] = max(p[k], q[k])
			}
			limits = append(limits, c)
		}
		adds[at] = box(p, ref) - Hypervolume(limits, ref)
		fresh[at] = len(rows)
	}
	return rows
}

func box(p, ref []float64) float64 {
	v := 1.0
	for k := range p {
		v *= ref[k] - p[k]
	}
	return v
}
