package optimize

import (
	"cmp"
	"math"
	"slices"
)

// sameGoals is the share of a goal's range within which two designs count as
// equal in it.
const sameGoals = 1e-9

// A selector orders feasible designs and keeps the best. Its buffers are
// reused.
type selector struct {
	rank     ranker
	thin     truncator
	rounded  []float64
	front    []int32 // of each row, after pick
	start    []int32
	rows     []int32
	distance []float64
}

// pick returns keep of the rows of goals, front by front; the last front that
// is needed is thinned. Rows equal in goals within sameGoals of the range are
// ordered by their slack, larger first. keep is at least 1 where there are rows. The result is valid
// until the next call.
func (s *selector) pick(goals []float64, m int, slack []float64, keep int) []int32 {
	n := len(goals) / m
	s.round(goals, m)
	s.sortFronts(s.rounded, m, slack, n)
	for f := 0; f+1 < len(s.start); f++ {
		from, to := int(s.start[f]), int(s.start[f+1])
		if to >= keep {
			kept := s.thin.thin(goals, m, s.rows[from:to], keep-from)
			return s.rows[:from+len(kept)]
		}
	}
	return s.rows
}

// pickCrowded does what plain NSGA-II does: within a front, the larger crowding
// distance first.
func (s *selector) pickCrowded(goals []float64, m, keep int) []int32 {
	n := len(goals) / m
	s.sortFronts(goals, m, nil, n)
	s.distance = append(s.distance[:0], make([]float64, n)...)
	for f := 0; f+1 < len(s.start); f++ {
		from, to := int(s.start[f]), int(s.start[f+1])
		s.crowd(goals, m, s.rows[from:to])
	}
	return s.rows[:min(keep, n)]
}

// round writes goals in whole numbers of sameGoals of their range.
func (s *selector) round(goals []float64, m int) {
	s.rounded = append(s.rounded[:0], goals...)
	for k := range m {
		low, high := extent(goals, m, k)
		if !(high > low) || math.IsInf(high-low, 0) {
			continue
		}
		unit := 1 / ((high - low) * sameGoals)
		for i := k; i < len(goals); i += m {
			s.rounded[i] = math.Floor((goals[i]-low)*unit + 0.5)
		}
	}
}

func extent(goals []float64, m, k int) (low, high float64) {
	low, high = inf, -inf
	for i := k; i < len(goals); i += m {
		low, high = min(low, goals[i]), max(high, goals[i])
	}
	return low, high
}

// sortFronts fills rows with all rows, front after front and within one in the
// order of their goals, and start with the place where each front begins.
func (s *selector) sortFronts(goals []float64, m int, slack []float64, n int) {
	s.front = slices.Grow(s.front[:0], n)[:n]
	count := s.rank.sort(goals, m, slack, s.front)
	s.start = append(s.start[:0], make([]int32, count+1)...)
	for _, f := range s.front {
		s.start[f+1]++
	}
	for f := range count {
		s.start[f+1] += s.start[f]
	}
	s.rows = slices.Grow(s.rows[:0], n)[:n]
	for _, p := range s.rank.order {
		f := s.front[p]
		s.rows[s.start[f]] = p
		s.start[f]++
	}
	copy(s.start[1:], s.start)
	s.start[0] = 0
}

// crowd sorts a front by falling crowding distance: the sum over the goals of
// the gap between the neighbours on both sides, in shares of the front's
// range; the ends are infinitely far.
func (s *selector) crowd(goals []float64, m int, front []int32) {
	at := func(p int32, k int) float64 { return goals[int(p)*m+k] }
	last := len(front) - 1
	for k := range m {
		// The fronts come sorted by the first goal, and two goals fall and
		// rise together.
		if k > 0 && !(m == 2) {
			slices.SortFunc(front, func(a, b int32) int {
				if c := cmp.Compare(at(a, k), at(b, k)); c != 0 {
					return c
				}
				return int(a - b)
			})
		}
		span := math.Abs(at(front[last], k) - at(front[0], k))
		s.distance[front[0]], s.distance[front[last]] = inf, inf
		if span == 0 {
			continue
		}
		for i := 1; i < last; i++ {
			s.distance[front[i]] += math.Abs(at(front[i+1], k)-at(front[i-1], k)) / span
		}
	}
	slices.SortFunc(front, func(a, b int32) int {
		if s.distance[a] != s.distance[b] {
			return cmp.Compare(s.distance[b], s.distance[a])
		}
		return int(a - b)
	})
}
