package optimize

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// The archive must hold what a filter over everything offered leaves.
func TestArchiveAgainstFilter(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 0))
	for m := 1; m <= mostGoals; m++ {
		a := newArchive(m, Rows{}, nil)
		tolerance := make([]float64, m)
		var goals, slack []float64
		n := 1500
		for i := range n {
			g, s := scattered(rng, 1, m, 40)
			goals, slack = append(goals, g...), append(slack, s...)
			a.offer([]float64{float64(i)}, g, s[0], tolerance)
			if i%500 == 499 { // a barrier
				rows, blocks := a.pack()
				a = newArchive(m, rows, blocks)
			}
		}
		front := make([]int32, n)
		new(ranker).sort(goals, m, slack, front)
		var want []float64
		for i, f := range front {
			if f == 0 {
				want = append(want, float64(i))
			}
		}
		rows, _ := a.pack()
		got := slices.Sorted(slices.Values(rows.Genes))
		if !slices.Equal(got, want) || a.count != len(want) {
			t.Errorf("%d goals: archive holds %v (%d), want %v", m, got, a.count, want)
		}
	}
}

func TestArchiveIsBounded(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 0))
	const m, n = 3, 12000
	goals := sphere(rng, n, m)
	a := newArchive(m, Rows{}, nil)
	best := []float64{9, 9, 9}
	for i := range n {
		g := goals[i*m : i*m+m]
		a.offer([]float64{float64(i)}, g, 0, make([]float64, m))
		for k := range best {
			best[k] = min(best[k], g[k])
		}
		if a.count > mostArchived {
			t.Fatalf("%d designs after %d, want at most %d", a.count, i+1, mostArchived)
		}
	}
	rows, _ := a.pack()
	if rows.Len() < thinnedTo {
		t.Errorf("%d designs, want at least %d", rows.Len(), thinnedTo)
	}
	for k := range best {
		if low, _ := extent(rows.Goals, m, k); low != best[k] {
			t.Errorf("best of goal %d: %v, want %v", k, low, best[k])
		}
	}
}
