package brief

import (
	"math"
	"slices"
	"testing"
)

// TestBest compares the weights with all choices, one by one.
func TestBest(t *testing.T) {
	values := []float64{3, 1, 4, 1.5, 9, 2.6}
	for _, s := range []Statistic{{Best: 1, Of: 1}, {Best: 2, Of: 3}, {Best: 1, Of: 4}, {Best: 3, Of: 3}, {Best: 2, Of: 6}} {
		sum, choices := 0.0, 0
		for set := range 1 << len(values) {
			var chosen []float64
			for i, v := range values {
				if set>>i&1 == 1 {
					chosen = append(chosen, v)
				}
			}
			if len(chosen) != s.Of {
				continue
			}
			slices.Sort(chosen)
			for _, v := range chosen[:s.Best] {
				sum += v / float64(s.Best)
			}
			choices++
		}
		want := sum / float64(choices)
		// 1e-12: logarithms of numbers of choices.
		if got := s.exact(slices.Clone(values), s.bestWeights(len(values)), len(values)); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v of %v = %v, want %v", s, values, got, want)
		}
	}
}

// TestBestOfDay keeps the flights of a day together: of each day the best two
// of three.
func TestBestOfDay(t *testing.T) {
	s := Statistic{Best: 2, Of: 3}
	values := []float64{1, 9, 2, 30, 10, 20}
	if got, want := s.exact(values, s.bestWeights(3), 3), (1.5+15)/2; math.Abs(got-want) > 1e-12 {
		t.Errorf("two days = %v, want %v", got, want)
	}
}

func TestTenth(t *testing.T) {
	s := Statistic{Tenth: true}
	var values []float64
	for i := range 101 {
		values = append(values, float64((i*37)%101))
	}
	if got := s.exact(values, nil, 101); got != 90 {
		t.Errorf("of 0 to 100, smaller being better, nine in ten are within %v, want 90", got)
	}
	// Mean 3, deviation 1.
	if got := s.near([]float64{2, 4, 2, 4}, nil, 4); math.Abs(got-(3+1.2815515655446004)) > 1e-12 {
		t.Errorf("few values = %v, want the mean and 1.28 deviations", got)
	}
}

func TestStatisticFlights(t *testing.T) {
	for _, row := range []struct {
		why               string
		goal, day         string
		near, proof, day3 int
	}{
		{"means: four flights, two hundred", `"highest"`, "", 4, 200, 1},
		{"days make no difference to a mean", `"highest"`, aDay, 4, 200, 1},
		{"any of the flights may be a choice of three", `{ highest = true, as = "best 2 of 3" }`, "", 4, 200, 1},
		{"as many as are chosen of", `{ highest = true, as = "best 2 of 6" }`, "", 6, 200, 1},
		{"two whole days, and 67", `{ highest = true, as = "best 2 of 3" }`, aDay, 6, 201, 3},
	} {
		b := roomy(t, []string{`apogee         = "highest"`, "apogee = " + row.goal, "[search]", row.day + "[search]"}, "search.robust.draws=200")
		if near, proof, day := b.nearFlights(), b.proofFlights(), b.perDay(); near != row.near || proof != row.proof || day != row.day3 {
			t.Errorf("%s: %d and %d flights, %d of a day; want %d, %d, %d", row.why, near, proof, day, row.near, row.proof, row.day3)
		}
	}
}

func TestStatisticWords(t *testing.T) {
	for text, want := range map[string]Statistic{
		"mean": {}, "p10": {Tenth: true}, "best 2 of 3": {Best: 2, Of: 3}, "best 10 of 10": {Best: 10, Of: 10},
	} {
		b := roomy(t, []string{`apogee         = "highest"`, `apogee = { highest = true, as = "` + text + `" }`}, "search.robust.draws=200")
		if got := b.Goals[0].As; got != want || got.String() != text {
			t.Errorf("as = %q: %+v, %s", text, got, got)
		}
	}
}
