package constraints

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

func TestAtLeast(t *testing.T) {
	for _, row := range []struct {
		why   string
		c     Chance
		want  float64
		close float64
	}{
		{"all met: the chance whose nth power is 0.05, in closed form", Chance{200, 200}, math.Pow(0.05, 1.0/200), 1e-10},
		{"one of one", Chance{1, 1}, 0.05, 1e-10},
		{"one of many: 1 − 0.95^(1/n), in closed form", Chance{1, 50}, 1 - math.Pow(0.95, 1.0/50), 1e-10},
		{"none met", Chance{0, 50}, 0, 0},
		{"no flights", Chance{}, 0, 0},
	} {
		if got := row.c.AtLeast(); math.Abs(got-row.want) > row.close {
			t.Errorf("%s: %+v.AtLeast() = %v, want %v", row.why, row.c, got, row.want)
		}
	}
}

// TestAtLeastInverts holds the bound against its definition: were the chance
// exactly the bound, as many flights or more would meet the limit with the
// chance 1 − Level. The binomial terms are another library's.
func TestAtLeastInverts(t *testing.T) {
	for _, c := range []Chance{{196, 200}, {150, 200}, {15, 16}, {3, 59}, {970, 1000}, {99_000, 100_000}, {1, 100_000}} {
		b, tail := distuv.Binomial{N: float64(c.Flights), P: c.AtLeast()}, 0.0
		for k := c.Met; k <= c.Flights; k++ {
			tail += b.Prob(float64(k))
		}
		// 1e-8: logarithms of factorials of 1e5, some 1e6, hold ten decimals.
		if math.Abs(tail-(1-Level)) > 1e-8 {
			t.Errorf("%+v: with its bound as the chance, the tail is %v, want %v", c, tail, 1-Level)
		}
	}
}

// TestCoverage counts how often the bound lies below the true chance.
func TestCoverage(t *testing.T) {
	const trials = 4000
	for _, n := range []int{16, 59, 200} {
		for _, chance := range []float64{0.5, 0.9, 0.95, 0.99} {
			rng := rand.New(rand.NewPCG(uint64(n), 7))
			bounds := make([]float64, n+1)
			for k := range bounds {
				bounds[k] = Chance{k, n}.AtLeast()
			}
			held := 0
			for range trials {
				met := 0
				for range n {
					if rng.Float64() < chance {
						met++
					}
				}
				if bounds[met] <= chance {
					held++
				}
			}
			// Three deviations of a share of 0.95 over the trials.
			slip := 3 * math.Sqrt(Level*(1-Level)/trials)
			if got := float64(held) / trials; got < Level-slip {
				t.Errorf("%d flights, chance %v: the bound holds in %.4f of the trials, want at least %v", n, chance, got, Level)
			}
		}
	}
}

func TestNeeded(t *testing.T) {
	for _, row := range []struct {
		flights int
		chance  float64
		met     int
		ok      bool
	}{
		// 59 is the least number of which all must pass to show 95 % with 95 %
		// confidence: 0.95^58 > 0.05 > 0.95^59.
		{58, 0.95, 59, false},
		{59, 0.95, 59, true},
		{16, 0.5, 12, true},
	} {
		met, ok := Needed(row.flights, row.chance)
		if met != row.met || ok != row.ok {
			t.Errorf("Needed(%d, %v) = %d, %v; want %d, %v", row.flights, row.chance, met, ok, row.met, row.ok)
		}
	}
	if met, ok := Needed(200, Chance{195, 200}.AtLeast()); met != 195 || !ok {
		t.Errorf("Needed(200, the bound of 195) = %d, %v, want 195: a chance that is reached is enough", met, ok)
	}
	met, _ := Needed(200, 0.95)
	if (Chance{met, 200}).AtLeast() < 0.95 || (Chance{met - 1, 200}).AtLeast() >= 0.95 {
		t.Errorf("Needed(200, 0.95) = %d, which is not where the bound reaches 0.95", met)
	}
}

// The bound is the quantile of a beta distribution, which another library finds
// in another way.
func TestAtLeastIsABetaQuantile(t *testing.T) {
	for n := 1; n < 400; n += 13 {
		for met := 1; met <= n; met += 1 + n/20 {
			got := Chance{met, n}.AtLeast()
			want := distuv.Beta{Alpha: float64(met), Beta: float64(n - met + 1)}.Quantile(1 - Level)
			// 1e-9: that library's inverse stops at about ten digits.
			if math.Abs(got-want) > 1e-9*want {
				t.Errorf("%d of %d: at least %v, want %v", met, n, got, want)
			}
		}
	}
}

func TestShare(t *testing.T) {
	for _, row := range []struct {
		c    Chance
		want float64
	}{{Chance{3, 4}, 0.75}, {Chance{8, 8}, 1}, {Chance{0, 5}, 0}, {Chance{}, 0}} {
		if got := row.c.Share(); got != row.want {
			t.Errorf("%+v.Share() = %v, want %v", row.c, got, row.want)
		}
	}
}
