package optimize

import (
	"fmt"
	"slices"
	"testing"

	"ullage/testdata/problems"
)

// The bars are what README claims, the medians over 21 seeds, and a little more:
// over 41 seeds the medians were within a twentieth of those over 21, but for
// ZDT4 and OSY, whose bars are the upper quartiles over 200 seeds. There a run of
// this length may end on a local front, or without one of the pieces.
func TestKnownFronts(t *testing.T) {
	for _, c := range []struct {
		known
		median, quartile, worst float64 // shortfalls; quartile is the upper
		why                     string
	}{
		{zdt1(), 0.0060, 0.0061, 0.0064, "the ideal 100 designs miss 0.5 %"},
		{zdt2(), 0.0095, 0.0098, 0.0110, "the ideal 100 miss 0.8 %"},
		{zdt3(), 0.0022, 0.0023, 0.0027, "five pieces"},
		{zdt4(), 0.0250, 0.0316, 0.4400, "21⁹ local fronts; the next to the best misses 0.21, the one after it 0.42"},
		{zdt6(), 0.0070, 0.0071, 0.0074, "thin towards one end"},
		{knownOf(problems.DTLZ1(2)), 0.0022, 0.0026, 0.45, "11⁵ local fronts"},
		{knownOf(problems.DTLZ1(3)), 0.0062, 0.0075, 0.25, "11⁵ local fronts"},
		{knownOf(problems.BNH()), 0.0043, 0.0043, 0.0044, "the edges of a box"},
		{knownOf(problems.SRN()), 0.0065, 0.0068, 0.0080, "an arc along a limit at each end"},
		{tnk(), 0.0145, 0.0155, 0.0180, "a front with gaps along the limit"},
		{osy(), 0.0285, 0.0350, 0.1000, "five pieces on different limits"},
		{dtlz7(2), 0.0030, 0.0030, 0.0031, "two pieces, of which a search without far mutations loses one, 36 %"},
		{dtlz7(3), 0.0340, 0.0340, 0.0345, "four pieces"},
		{dtlz2(2), 0.0091, 0.0091, 0.0092, "a quarter of a circle"},
		{dtlz2(3), 0.0645, 0.0650, 0.0655, "the ideal 100 on a sphere miss 6.2 %"},
		{dtlz2(4), 0.1560, 0.1620, 0.1750, "the archive is thinned by distance, not by volume"},
	} {
		t.Run(fmt.Sprintf("%s/%d", c.name, c.Goals), func(t *testing.T) {
			t.Parallel()
			seeds := 21
			if testing.Short() {
				seeds = 5
			}
			missed := c.shortfalls(t, Settings{Flights: 10000}, seeds)
			if missed[0] < 0 {
				t.Errorf("shortfall %.4f, want ≥ 0", missed[0])
			}
			if m := missed[seeds/2]; m > c.median {
				t.Errorf("median shortfall %.4f, want at most %v (%s)", m, c.median, c.why)
			}
			if m := missed[seeds*3/4]; m > c.quartile && seeds == 21 {
				t.Errorf("upper quartile of the shortfalls %.4f, want at most %v (%s)", m, c.quartile, c.why)
			}
			if m := missed[seeds-1]; m > c.worst {
				t.Errorf("worst shortfall %.4f, want at most %v (%s)", m, c.worst, c.why)
			}
		})
	}
}

// shortfalls searches with the seeds from 1 on and returns what 100 designs
// miss, the least first.
func (k known) shortfalls(t *testing.T, s Settings, seeds int) []float64 {
	t.Helper()
	var missed []float64
	for range seeds {
		s.Seed++
		o, err := Evolve(t.Context(), &k.Problem, s, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !o.Met || o.Flights != s.Flights || o.Stop != "flights" {
			t.Fatalf("seed %d: met %v, %d flights, stop %q", s.Seed, o.Met, o.Flights, o.Stop)
		}
		checkFront(t, o.Archive)
		if s.Algorithm == Reference && len(o.Archive) > 100 {
			t.Fatalf("%s: %d designs, want at most the population, 100", k.name, len(o.Archive))
		}
		missed = append(missed, k.shortfall(o.Archive, 100))
	}
	slices.Sort(missed)
	return missed
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

// Plain NSGA-II at 10 000 flights misses 3.3 % of ZDT1 and 1.3 % of TNK with an
// independent implementation of it (medians over 21 seeds, quartiles 3.1 to 3.7
// and 1.2 to 1.4 %, population 100): a third more or less is the same algorithm.
func TestReference(t *testing.T) {
	for _, c := range []struct {
		known
		want float64
	}{{zdt1(), 0.033}, {tnk(), 0.013}} {
		missed := c.shortfalls(t, Settings{Flights: 10000, Algorithm: Reference}, 5)
		if m := missed[2]; m < c.want*2/3 || m > c.want*4/3 {
			t.Errorf("%s: median shortfall %.4f, want about %v", c.name, m, c.want)
		}
	}
}
