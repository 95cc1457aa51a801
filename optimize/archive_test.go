package optimize

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// The archive must hold what a filter over everything offered leaves.
func TestArchiveAgainstFilter(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 0))
	for m := 1; m <= mostGoals; m++ {
		a := newArchive(m, mostArchived, Rows{}, nil)
		tolerance := make([]float64, m)
		var goals, slack []float64
		n := 1500
		for i := range n {
			g, s := scattered(rng, 1, m, 40)
			goals, slack = append(goals, g...), append(slack, s...)
			a.offer([]float64{float64(i)}, g, s[0], tolerance)
			if i%500 == 499 { // a barrier
				rows, blocks := a.pack()
				a = newArchive(m, mostArchived, rows, blocks)
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
		if !slices.Equal(got, want) {
			t.Errorf("%d goals: archive holds %v, want %v", m, got, want)
		}
	}
}

func TestArchiveIsBounded(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 0))
	const m, n = 3, 12000
	goals := sphere(rng, n, m)
	a := newQuilt(m, mostArchived, Rows{}, nil)
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

// Cells may never part a point from one that it is nowhere worse than, on a
// grid of any range; on an ordinary one they must part most others.
func TestCells(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 0))
	odd := []float64{0, 5e-324, 1, 1e308, -1e308, math.MaxFloat64, -math.MaxFloat64}
	for m := 1; m <= mostGoals; m++ {
		for round := range 40 {
			draw := func() []float64 {
				g := make([]float64, m)
				for k := range g {
					if g[k] = rng.Float64(); round > 0 && rng.IntN(3) == 0 {
						g[k] = odd[rng.IntN(len(odd))]
					}
				}
				return g
			}
			a := newQuilt(m, mostArchived, Rows{}, nil)
			for k := range m {
				x, y := draw(), draw()
				a.low[k], a.high[k] = min(x[k], y[k]), max(x[k], y[k])
				if round == 0 {
					a.low[k], a.high[k] = 0.2, 0.8
				}
			}
			a.divide()
			parted, worse := 0, 0
			for range 500 {
				x, y := draw(), draw()
				may := a.cell(x).mayPrecede(a.cell(y))
				switch {
				case noWorse(x, y) && !may:
					t.Fatalf("%v and %v are parted between %v and %v", x, y, a.low[:m], a.high[:m])
				case !noWorse(x, y):
					worse++
					if !may {
						parted++
					}
				}
			}
			if round == 0 && 10*parted < 8*worse {
				t.Errorf("%d goals: %d of %d pairs parted, want 80 %%", m, parted, worse)
			}
		}
	}
}

// Where a goal has its zero is of no concern: of goals with a few binary digits,
// which a shift leaves exact, the same designs stay, also when some must go.
func TestArchiveDoesNotDependOnZero(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 0))
	const m, n = 3, 12000
	goals := sphere(rng, n, m)
	var kept [][]float64
	for _, shift := range []float64{0, 1000} {
		a := newArchive(m, mostArchived, Rows{}, nil)
		for i := range n {
			g := slices.Clone(goals[i*m : i*m+m])
			for k := range g {
				g[k] = math.Round(g[k]*(1<<20))/(1<<20)*[]float64{1, 64, 4096}[k] + shift
			}
			a.offer([]float64{float64(i)}, g, 0, make([]float64, m))
		}
		rows, _ := a.pack()
		kept = append(kept, rows.Genes)
	}
	if !slices.Equal(kept[0], kept[1]) {
		t.Errorf("other designs stay of %d, %d and %d, when 1000 is added to every goal", n, len(kept[0]), len(kept[1]))
	}
}
