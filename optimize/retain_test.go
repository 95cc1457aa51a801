package optimize

import (
	"slices"
	"sync"
	"testing"
)

// keeping is a problem of which each island keeps so many feasible designs.
func keeping(k known, most int) known {
	k.Keep = most
	return k
}

// A search keeps every feasible design where there is room, each once, and where
// there is none the first fronts of them; it finds the same as without.
func TestKept(t *testing.T) {
	k := osy()
	var held sync.Mutex
	feasible := 0
	inner := k.Evaluator()
	k.Evaluator = always(func(x []float64, r *Result) {
		held.Lock()
		defer held.Unlock()
		inner(x, r)
		if !slices.ContainsFunc(r.Violations, func(v float64) bool { return v > 0 }) {
			feasible++
		}
	})
	s := Settings{Seed: 4, Flights: 3000, Islands: 2}
	search := func(most int) Outcome {
		p := keeping(k, most).Problem
		o, err := Evolve(t.Context(), &p, s, 2, nil)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	none := search(0)
	if none.Kept != nil {
		t.Errorf("%d designs kept, want none", len(none.Kept))
	}
	feasible = 0
	all := search(100_000)
	// Two islands may fly the same design.
	if n := len(all.Kept); n > feasible || n < feasible*9/10 || n < 200 {
		t.Errorf("%d of %d feasible designs kept, want nearly all", n, feasible)
	}
	few := search(100)
	if n := len(few.Kept); n > 200 || n < 150 {
		t.Errorf("%d designs kept by two islands, want nearly 100 each", n)
	}
	for _, o := range []Outcome{all, few} {
		if !slices.EqualFunc(o.Archive, none.Archive, func(a, b Design) bool { return slices.Equal(a.X, b.X) }) {
			t.Error("a search that keeps designs finds others")
		}
		for i := 1; i < len(o.Kept); i++ {
			if slices.Compare(o.Kept[i-1].Goals, o.Kept[i].Goals) > 0 || slices.Equal(o.Kept[i-1].X, o.Kept[i].X) {
				t.Fatalf("designs %d and %d are %v and %v, want each once by rising goals", i-1, i, o.Kept[i-1], o.Kept[i])
			}
		}
	}
	if one := search(1); len(one.Kept) != 2 {
		t.Errorf("%d designs kept by two islands that keep one each, want 2", len(one.Kept))
	}
	// What goes is of the last fronts: no design that was kept is beaten by many
	// of those that were not.
	if a, b := mostBeaten(all.Kept, all.Kept), mostBeaten(few.Kept, all.Kept); b > a/2 {
		t.Errorf("a design is beaten by %d that is kept among the best, of all by %d at most", b, a)
	}
}

// mostBeaten returns by how many of others a design is beaten or met at most.
func mostBeaten(designs, others []Design) (most int) {
	for _, d := range designs {
		n := 0
		for _, other := range others {
			if other.Goals[0] <= d.Goals[0] && other.Goals[1] <= d.Goals[1] {
				n++
			}
		}
		most = max(most, n)
	}
	return most
}
