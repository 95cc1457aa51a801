package output

import (
	"math"
	"slices"
	"sort"
)

// Order returns the indices of a front's designs, the nearest to the ideal
// first: goals (minimised, one slice a design) are normalised by their range
// over the front, and distance is Euclidean. Equal distances keep their order.
// The first index is the knee.
func Order(goals [][]float64) []int {
	order := make([]int, len(goals))
	distance := make([]float64, len(goals))
	for i := range goals {
		order[i] = i
		for j := range goals[i] {
			low, high := extent(goals, j)
			if high > low {
				d := (goals[i][j] - low) / (high - low)
				// Rounded before the sum: a fused multiply-add would order
				// near ties differently on another CPU.
				distance[i] += float64(d * d)
			}
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return distance[order[a]] < distance[order[b]] })
	return order
}

func extent(goals [][]float64, j int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, g := range goals {
		low, high = min(low, g[j]), max(high, g[j])
	}
	return low, high
}

// Everywhere lists the limits that bind in every one of several rows: they
// tell no design from another.
func Everywhere(rows []Row) []string {
	if len(rows) < 2 {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(rows[0].Binding), func(key string) bool {
		return slices.ContainsFunc(rows, func(r Row) bool { return !slices.Contains(r.Binding, key) })
	})
}
