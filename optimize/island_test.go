package optimize

import (
	mathrand "math/rand"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestAxis(t *testing.T) {
	for _, c := range []struct {
		why  string
		v    Variable
		high float64   // of the gene
		x    []float64 // values
		want []float64 // values after a turn into a gene and back
	}{
		{"67 values of a range that rounding shortens", Variable{From: 0.12, To: 0.45, Step: 0.005}, 66, []float64{0.12, 0.4501, 0.2774, 0.27751}, []float64{0.12, 0.45, 0.275, 0.28}},
		{"the range is no whole number of steps", Variable{From: 1, To: 2, Step: 0.3}, 3, []float64{9}, []float64{1.9}},
		{"choices in any order", Variable{Choices: []float64{9, 7, 8}}, 2, []float64{7.4, 0, 20}, []float64{7, 7, 9}},
		{"a step that is no decimal", Variable{From: 1.0 / 3, To: 3, Step: 1.0 / 3}, 8, []float64{0, 1.1, 9}, []float64{1.0 / 3, 1, 3}},
		{"continuous", Variable{From: -1, To: 1}, 1, []float64{0.1, 5}, []float64{0.1, 1}},
		{"one value", Variable{From: 3, To: 3}, 0, []float64{0, 3}, []float64{3, 3}},
	} {
		a := newAxis(c.v)
		if a.high != c.high {
			t.Errorf("%s: last gene %v, want %v", c.why, a.high, c.high)
		}
		for i, x := range c.x {
			// One rounding of a product and one of a sum.
			if got := a.value(a.gene(x)); got < c.want[i]-1e-15 || got > c.want[i]+1e-15 {
				t.Errorf("%s: %v became %v, want %v", c.why, x, got, c.want[i])
			}
		}
	}
}

// An index must move: with the same gene again a mutation would be in vain.
func TestMutationMovesAnIndex(t *testing.T) {
	var s source
	s.begin(1, purposeBreed, 0, 0)
	rng := mathrand.New(&s)
	for _, steps := range []float64{1, 2, 1000} {
		a := axis{high: steps, whole: true, step: 1}
		for i := range 2000 {
			was := float64(rng.Intn(int(steps) + 1))
			g := was
			mutate(&a, &g, float64(i%2), rng)
			if g == was || g < 0 || g > steps || g != float64(int(g)) {
				t.Fatalf("gene %v of 0 to %v became %v", was, steps, g)
			}
		}
	}
}

// Where few steps make an axis, most mutations go to the next one. The
// distribution with the index 20 has its middle half within 1 − ½^(1/21), a 30th
// of the axis, of the gene: less than half a step.
func TestMutationGoesToTheNextIndex(t *testing.T) {
	var s source
	s.begin(1, purposeBreed, 0, 0)
	rng := mathrand.New(&s)
	a := axis{high: 10, whole: true, step: 1}
	next := 0
	for range 1000 {
		g := 5.0
		mutate(&a, &g, 0, rng)
		if g == 4 || g == 6 {
			next++
		}
	}
	if next < 900 {
		t.Errorf("%d of 1000 mutations go to the next index, want most", next)
	}
}

// A mutation from the whole axis reaches every tenth of it from an end, and
// both ends with a chance of farBeyond/(1 + 2·farBeyond) each: one in twelve.
// 12 000 draws scatter by 30 (standard deviation), the bar is five of them.
func TestFarMutation(t *testing.T) {
	var s source
	s.begin(1, purposeBreed, 0, 0)
	rng := mathrand.New(&s)
	a := axis{low: -2, high: 3}
	var ends, tenths [10]int
	for range 12000 {
		g := a.low
		mutate(&a, &g, 1, rng)
		switch g {
		case a.low:
			ends[0]++
		case a.high:
			ends[1]++
		default:
			tenths[int((g-a.low)/(a.high-a.low)*10)]++
		}
	}
	for _, n := range append(tenths[:], ends[:2]...) {
		if n < 850 || n > 1150 {
			t.Errorf("tenths %v, ends %v: want 1000 each", tenths, ends[:2])
		}
	}
}

func TestMemory(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 0))
	var m memory
	in := map[uint64]bool{}
	for len(in) < 3000 {
		f := max(rng.Uint64N(9000), 1)
		if m.holds(f) != in[f] {
			t.Fatalf("holds(%d) = %v, want %v", f, m.holds(f), in[f])
		}
		if !in[f] {
			m = m.with(f, len(in))
			in[f] = true
		}
	}
	for f := uint64(1); f < 9000; f++ {
		if m.holds(f) != in[f] {
			t.Fatalf("holds(%d) = %v, want %v", f, m.holds(f), in[f])
		}
	}
}

func TestFingerprintsDiffer(t *testing.T) {
	seen := map[uint64]bool{}
	for i := range 300 {
		for j := range 300 {
			seen[fingerprint([]float64{float64(i), float64(j)})] = true
		}
	}
	if len(seen) != 300*300 {
		t.Errorf("%d fingerprints of %d designs", len(seen), 300*300)
	}
	zero := 0.0
	if fingerprint([]float64{-zero}) != fingerprint([]float64{0}) {
		t.Error("0 and −0 have different fingerprints")
	}
}

// Copies of the best tenth arrive at the next island, once, and are not flown
// there again.
func TestMigration(t *testing.T) {
	p := osy().Problem
	s := Settings{Seed: 4, Flights: 30000, Islands: 3}.filled(&p)
	islands := make([]Island, 3)
	for i := range islands {
		islands[i].Index = i
		var err error
		if islands[i], err = Epoch(t.Context(), &p, s, islands[i], epochGenerations, 1); err != nil {
			t.Fatal(err)
		}
	}
	before := make([]Island, 3)
	for i := range islands {
		before[i] = islands[i].clone(0)
	}
	migrate(&p, s, islands)
	for i := range islands {
		to, from := &islands[i], &before[(i+2)%3]
		if got := to.Population.Len(); got != 44 || to.Held != before[i].Held+4 {
			t.Fatalf("island %d: population %d, %d remembered, want 4 more than 40 and %d", i, got, to.Held, before[i].Held)
		}
		for k := 40; k < 44; k++ {
			genes := to.Population.Genes[k*6 : k*6+6]
			if !memory(to.Flown).holds(fingerprint(genes)) {
				t.Errorf("island %d: migrant %d is not remembered", i, k-40)
			}
			found := false
			for j := range from.Population.Len() {
				found = found || slices.Equal(genes, from.Population.Genes[j*6:j*6+6])
			}
			if !found {
				t.Errorf("island %d: migrant %d is none of the island before it", i, k-40)
			}
		}
	}
	next, err := Epoch(t.Context(), &p, s, islands[0], 1, 1)
	if err != nil || next.Population.Len() != 40 {
		t.Errorf("population after a generation %d, %v, want 40", next.Population.Len(), err)
	}
}
