package optimize

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// sphere returns n points of the unit sphere's positive part, none of which
// dominates another.
func sphere(rng *rand.Rand, n, m int) []float64 {
	var goals []float64
	for range n {
		sum := 0.0
		x := make([]float64, m)
		for k := range x {
			x[k] = math.Abs(rng.NormFloat64())
			sum += x[k] * x[k]
		}
		for k := range x {
			goals = append(goals, x[k]/math.Sqrt(sum))
		}
	}
	return goals
}

func count(n int) []int32 {
	rows := make([]int32, n)
	for i := range rows {
		rows[i] = int32(i)
	}
	return rows
}

// The lazy removal must take what a removal that computes every contribution
// anew takes.
func TestThin3AgainstFullContributions(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 0))
	for range 10 {
		const n, keep = 30, 12
		goals := sphere(rng, n, 3)
		var tr truncator
		got := slices.Clone(tr.thin(goals, 3, count(n), keep))

		ref := slices.Repeat([]float64{1 + 1/float64(partition3(keep))}, 3)
		left := count(n)
		for len(left) > keep {
			points := func(skip int) (out [][]float64) {
				for i, p := range left {
					if i != skip {
						out = append(out, tr.x[3*p:3*p+3])
					}
				}
				return out
			}
			worst, most := 0, -1.0
			for i := range left {
				if v := Hypervolume(points(i), ref); v > most {
					worst, most = i, v
				}
			}
			left = slices.Delete(left, worst, worst+1)
		}
		if !slices.Equal(got, left) {
			t.Fatalf("thin kept %v, want %v", got, left)
		}
	}
}

// One sweep finds for every point what a look at all the others finds, also
// where points are level with each other.
func TestContributionsOfAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	for _, steps := range []float64{4, 8, 1e9} {
		for range 100 {
			var front []solid
			for _, g := range slices.Collect(slices.Chunk(sphere(rng, 60, 3), 3)) {
				for k := range g {
					g[k] = math.Ceil(g[k]*steps) / steps
				}
				p := solid{x: g[0], y: g[1], z: g[2], row: len(front)}
				beats := func(a, b solid) bool { return a.x <= b.x && a.y <= b.y && a.z <= b.z }
				if slices.ContainsFunc(front, func(q solid) bool { return beats(q, p) }) {
					continue
				}
				front = slices.DeleteFunc(front, func(q solid) bool { return beats(p, q) })
				front = append(front, p)
			}
			slices.SortFunc(front, func(a, b solid) int { return cmp.Compare(a.z, b.z) })
			var tr truncator
			const ref = 1.2
			tr.all(front, ref)
			for i, p := range front {
				if want := tr.exclusive(i, front, ref); math.Abs(p.share-want) > 1e-12 {
					t.Fatalf("steps of 1/%g, point %d of %d: %v, want %v", steps, i, len(front), p.share, want)
				}
			}
		}
	}
}

func TestThinKeepsTheEnds(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 0))
	for _, m := range []int{2, 4, 5} {
		const n, keep = 60, 15
		goals := sphere(rng, n, m)
		var tr truncator
		kept := tr.thin(goals, m, count(n), keep)
		if len(kept) != keep || !slices.IsSorted(kept) {
			t.Fatalf("%d goals: kept %v, want %d in order", m, kept, keep)
		}
		for k := range m {
			best := int32(0)
			for i := range n {
				if goals[i*m+k] < goals[int(best)*m+k] {
					best = int32(i)
				}
			}
			if !slices.Contains(kept, best) {
				t.Errorf("%d goals: the best of goal %d was taken away", m, k)
			}
		}
	}
}

func TestChoose(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 0))
	for m := 1; m <= mostGoals; m++ {
		goals := sphere(rng, 200, m)
		var archive []Design
		for i := range 200 {
			archive = append(archive, Design{X: []float64{float64(i)}, Result: Result{Goals: goals[i*m : i*m+m]}})
		}
		if m == 1 {
			archive = archive[:1]
		}
		got := Choose(archive, 20)
		if len(got) != min(20, len(archive)) {
			t.Fatalf("%d goals: %d designs, want %d", m, len(got), min(20, len(archive)))
		}
		slices.Reverse(archive)
		again := Choose(archive, 20)
		for i := range got {
			if got[i].X[0] != again[i].X[0] {
				t.Fatalf("%d goals: design %d depends on the order of the archive", m, i)
			}
			if i > 0 && got[i].Goals[0] < got[i-1].Goals[0] {
				t.Fatalf("%d goals: design %d is out of the order of the first goal", m, i)
			}
		}
		if m == 1 {
			continue
		}
		ref := slices.Repeat([]float64{1.1}, m)
		volume := func(designs []Design) float64 {
			var points [][]float64
			for _, d := range designs {
				points = append(points, d.Goals)
			}
			return Hypervolume(points, ref)
		}
		// Chosen with care, 20 must beat the first 20 of a random order.
		if chosen, any := volume(got), volume(archive[:20]); chosen <= any {
			t.Errorf("%d goals: hypervolume of the chosen %v, of any %v", m, chosen, any)
		}
	}
}

// Dominated designs are taken only after all others, of as many goals as there are.
func TestChooseOfDominated(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	for m := 2; m <= mostGoals; m++ {
		goals := sphere(rng, 6, m)
		var archive []Design
		for i := range 12 { // the last six each lie behind one of the first
			g := slices.Clone(goals[i%6*m : i%6*m+m])
			for k := range g {
				g[k] += float64(i / 6)
			}
			archive = append(archive, Design{X: []float64{float64(i)}, Result: Result{Goals: g}})
		}
		for n := 1; n <= 13; n++ {
			front := 0
			got := Choose(archive, n)
			for _, d := range got {
				if d.X[0] < 6 {
					front++
				}
			}
			if len(got) != min(n, 12) || front != min(n, 6) {
				t.Errorf("%d goals: of 6 designs and 6 that they dominate, Choose %d took %d, %d of the first", m, n, len(got), front)
			}
		}
	}
}

func TestChooseOfFew(t *testing.T) {
	level := make([]Design, 5) // all alike: those that come first
	for i := range level {
		level[i] = Design{X: []float64{float64(i)}, Result: Result{Goals: []float64{1, 2, 3, 4}}}
	}
	for _, n := range []int{2, 5} {
		for i, d := range Choose(level, n) {
			if d.X[0] != float64(i) {
				t.Errorf("of equal designs Choose %d takes number %v as its %d", n, d.X[0], i)
			}
		}
	}
	dominated := []Design{{Result: Result{Goals: []float64{2, 2}}}, {Result: Result{Goals: []float64{1, 1}}}, {Result: Result{Goals: []float64{3, 3}}}}
	if got := Choose(dominated, 1); len(got) != 1 || got[0].Goals[0] != 1 {
		t.Errorf("Choose of a chain = %v, want its best", got)
	}
	if got := Choose(dominated, 5); len(got) != 3 {
		t.Errorf("Choose(3 designs, 5) = %d designs, want all", len(got))
	}
	if got := Choose(nil, 5); got != nil {
		t.Errorf("Choose(nil) = %v, want nil", got)
	}
}

// A triangle whose sides have h+1 points holds (h+1)(h+2)/2, so many divide it
// into h, and one less does not.
func TestPartition(t *testing.T) {
	for h := 2; h < 50; h++ {
		n := (h + 1) * (h + 2) / 2
		if got, less := partition3(n), partition3(n-1); got != h || less != h-1 {
			t.Errorf("%d points: %d divisions, one less: %d, want %d and %d", n, got, less, h, h-1)
		}
	}
}

// Of designs that crowd alike, the first of the population stay.
func TestCrowdingTiesGoByPlace(t *testing.T) {
	var goals []float64
	for i := range 9 {
		goals = append(goals, float64(i), float64(8-i))
	}
	var s selector
	if got := s.pickCrowded(goals, 2, 5); !slices.Equal(got, []int32{0, 8, 1, 2, 3}) {
		t.Errorf("picked %v, want the ends, then 1, 2, 3", got)
	}
}
