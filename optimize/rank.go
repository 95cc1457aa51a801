package optimize

import (
	"cmp"
	"math"
	"slices"
)

// mostGoals bounds the goals of a problem.
const mostGoals = 5

// inf is above every number, and what a least is looked for from.
var inf = math.Inf(1)

// A ranker sorts points into fronts: front 0 holds the points that no other
// dominates, front k those that only fronts below k dominate. Its buffers are
// reused.
type ranker struct {
	order  []int32
	tails  []float64 // 2 goals: of each front, the lowest second goal so far
	stairs [][]stair // 3 goals: of each front, the lower envelope in the plane of goals 2 and 3
	member [][]int32 // 1, 4 and 5 goals
}

// A stair is a corner of a staircase in a plane: along one, x rises and y falls.
type stair struct{ x, y float64 }

// sort writes the front of each of the n points into front and returns the
// number of fronts. Point i has its goals at goals[i·m], all finite and
// minimised. Among points equal in all goals the one with the largest slack is
// taken as dominating the others, then the lowest index; with slack nil they
// share a front.
//
// O(n log n) for 2 goals, by binary search over the tails of the fronts;
// for 3 the same over staircases; from 4 efficient non-dominated sort with
// binary search (Zhang, Tian, Cheng & Jin, IEEE TEC 19(2) 201–213, 2015).
func (r *ranker) sort(goals []float64, m int, slack []float64, front []int32) int {
	r.arrange(goals, m, slack, len(front))
	count := 0
	for i, p := range r.order {
		x := goals[int(p)*m : int(p)*m+m]
		if slack == nil && i > 0 {
			before := int(r.order[i-1])
			if slices.Equal(x, goals[before*m:before*m+m]) {
				front[p] = front[before]
				continue
			}
		}
		// No later point dominates this one, and a front that does not hold a
		// point that dominates it is followed by none that does.
		low, high := 0, count
		for low < high {
			mid := (low + high) / 2
			if r.dominates(mid, goals, m, x) {
				low = mid + 1
			} else {
				high = mid
			}
		}
		if low == count {
			r.open(count, m)
			count++
		}
		r.insert(low, p, x)
		front[p] = int32(low)
	}
	return count
}

// arrange orders n points by rising goals, the first goal before the second and
// so on, equal ones by falling slack.
func (r *ranker) arrange(goals []float64, m int, slack []float64, n int) {
	r.order = r.order[:0]
	for i := range n {
		r.order = append(r.order, int32(i))
	}
	slices.SortFunc(r.order, func(a, b int32) int {
		x, y := goals[int(a)*m:int(a)*m+m], goals[int(b)*m:int(b)*m+m]
		for k, v := range x {
			if v != y[k] {
				return cmp.Compare(v, y[k])
			}
		}
		if slack != nil && slack[a] != slack[b] {
			return cmp.Compare(slack[b], slack[a])
		}
		return int(a - b)
	})
}

// dominates tells whether front f holds a point that is nowhere worse than x.
func (r *ranker) dominates(f int, goals []float64, m int, x []float64) bool {
	switch m {
	case 1:
		return true
	case 2:
		return r.tails[f] <= x[1]
	case 3:
		s := r.stairs[f]
		i := after(s, x[1])
		return i > 0 && s[i-1].y <= x[2]
	}
	members := r.member[f]
	// The last ones are the likeliest to dominate: their first goal is nearest.
	for i := len(members) - 1; i >= 0; i-- {
		q := goals[int(members[i])*m : int(members[i])*m+m]
		if noWorse(q, x) {
			return true
		}
	}
	return false
}

func noWorse(a, b []float64) bool {
	b = b[:len(a)]
	for k, v := range a {
		if v > b[k] {
			return false
		}
	}
	return true
}

func (r *ranker) open(f, m int) {
	switch m {
	case 2:
		r.tails = append(r.tails[:f], 0)
	case 3:
		r.stairs = emptied(r.stairs, f)
	default:
		r.member = emptied(r.member, f)
	}
}

// emptied returns lists of which that at f, the next at most, is empty.
func emptied[T any](lists [][]T, f int) [][]T {
	if f == len(lists) {
		return append(lists, nil)
	}
	lists[f] = lists[f][:0]
	return lists
}

func (r *ranker) insert(f int, p int32, x []float64) {
	switch len(x) {
	case 2:
		r.tails[f] = x[1]
	case 3:
		r.stairs[f] = climb(r.stairs[f], stair{x[1], x[2]})
	default:
		r.member[f] = append(r.member[f], p)
	}
}

// after returns the number of stairs whose x is at most x.
func after(s []stair, x float64) int {
	low, high := 0, len(s)
	for low < high {
		mid := (low + high) / 2
		if s[mid].x <= x {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low
}

// climb adds p, which s does not dominate, to the staircase s.
func climb(s []stair, p stair) []stair {
	i := after(s, p.x)
	if i > 0 && s[i-1].x == p.x {
		i--
	}
	j := i
	for j < len(s) && s[j].y >= p.y {
		j++
	}
	if j == i {
		return slices.Insert(s, i, p)
	}
	s[i] = p
	return append(s[:i+1], s[j:]...)
}
