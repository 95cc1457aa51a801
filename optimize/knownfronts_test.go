package optimize

import (
	"fmt"
	"slices"
	"testing"
)

// seeds is the number of searches that each floor holds for.
const seeds = 5

// The floors are the worst that a run may be, not the median: the targets are
// medians over many seeds, and the slack is the spread that was seen over 21
// seeds, over 200 for TNK, ZDT4 and OSY. Some have local fronts on
// which a run of this length may end: single runs scatter widely there.
func TestKnownFronts(t *testing.T) {
	for _, c := range []struct {
		known
		worst, median float64 // shortfalls
		why           string
	}{
		{zdt1(), 0.009, 0.0075, "twice what 100 ideally placed designs miss, 0.5 %"},
		{zdt2(), 0.015, 0.0125, "as ZDT1; the ideal 100 miss 0.8 %"},
		{zdt3(), 0.006, 0.0045, "a run may miss the end of one of five pieces"},
		{zdt4(), 0.75, 0.08, "21⁹ local fronts; the next to the best misses 0.21"},
		{zdt6(), 0.03, 0.008, "thin towards one end"},
		{tnk(), 0.025, 0.016, "a front with gaps along the limit"},
		{osy(), 0.5, 0.035, "five pieces on different limits; a run may miss some"},
		{dtlz7(2), 0.0035, 0.003, "two pieces, of which a search without far mutations loses one, 36 %"},
		{dtlz7(3), 0.036, 0.034, "four pieces"},
		{dtlz2(3), 0.068, 0.066, "the ideal 100 on a sphere miss 6.2 %"},
		{dtlz2(4), 0.20, 0.18, "the archive is thinned by distance, not by volume"},
	} {
		t.Run(fmt.Sprintf("%s/%d", c.name, c.Goals), func(t *testing.T) {
			t.Parallel()
			var missed []float64
			for seed := range uint64(seeds) {
				o, err := Evolve(t.Context(), &c.Problem, Settings{Seed: seed + 1, Flights: 10000}, 1, nil)
				if err != nil {
					t.Fatal(err)
				}
				if !o.Met || o.Flights != 10000 || o.Stop != "flights" {
					t.Fatalf("seed %d: met %v, %d flights, stop %q", seed+1, o.Met, o.Flights, o.Stop)
				}
				checkFront(t, o.Archive)
				s := c.shortfall(o.Archive, 100)
				if s > c.worst || s < 0 {
					t.Errorf("seed %d: shortfall %.4f, want 0 to %v (%s)", seed+1, s, c.worst, c.why)
				}
				missed = append(missed, s)
			}
			slices.Sort(missed)
			if m := missed[seeds/2]; m > c.median {
				t.Errorf("median shortfall %.4f, want at most %v (%s)", m, c.median, c.why)
			}
		})
	}
}

func checkFront(t *testing.T, archive []Design) {
	t.Helper()
	for i, a := range archive {
		if a.Failed || slices.Max(append([]float64{0}, a.Violations...)) > 0 {
			t.Fatalf("design %d of the archive is not feasible: %+v", i, a)
		}
	}
	var goals []float64
	for _, d := range archive {
		goals = append(goals, d.Goals...)
	}
	front := make([]int32, len(archive))
	if n := new(ranker).sort(goals, len(archive[0].Goals), nil, front); n != 1 {
		t.Fatalf("designs of the archive dominate each other: %d fronts", n)
	}
}

// Plain NSGA-II at 10 000 flights misses 3.0 % of ZDT1 and 1.5 % of TNK with an
// independent implementation (medians over 21 seeds, population 100); half to
// twice that is the same algorithm.
func TestReference(t *testing.T) {
	for _, c := range []struct {
		known
		want float64
	}{{zdt1(), 0.030}, {tnk(), 0.015}} {
		var missed []float64
		for seed := range uint64(seeds) {
			o, err := Evolve(t.Context(), &c.Problem, Settings{Seed: seed, Flights: 10000, Algorithm: Reference}, 1, nil)
			if err != nil {
				t.Fatal(err)
			}
			if len(o.Archive) > 100 {
				t.Fatalf("%s: %d designs, want at most the population, 100", c.name, len(o.Archive))
			}
			checkFront(t, o.Archive)
			missed = append(missed, c.shortfall(o.Archive, 100))
		}
		slices.Sort(missed)
		if m := missed[seeds/2]; m < c.want/2 || m > c.want*2 {
			t.Errorf("%s: median shortfall %.4f, want about %v", c.name, m, c.want)
		}
	}
}
