package study

import (
	"math"
	"slices"
	"testing"

	"ullage/optimize/brief"
)

// TestBest compares the weights with all choices, one by one.
func TestBest(t *testing.T) {
	values := []float64{3, 1, 4, 1.5, 9, 2.6}
	for _, s := range []brief.Statistic{{Best: 1, Of: 1}, {Best: 2, Of: 3}, {Best: 1, Of: 4}, {Best: 3, Of: 3}, {Best: 2, Of: 6}} {
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
		if got := exact(s, slices.Clone(values), bestWeights(s, len(values)), len(values)); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v of %v = %v, want %v", s, values, got, want)
		}
	}
}

// TestBestOfDay keeps the flights of a day together: of each day the best two
// of three.
func TestBestOfDay(t *testing.T) {
	s := brief.Statistic{Best: 2, Of: 3}
	values := []float64{1, 9, 2, 30, 10, 20}
	if got, want := exact(s, values, bestWeights(s, 3), 3), (1.5+15)/2; math.Abs(got-want) > 1e-12 {
		t.Errorf("two days = %v, want %v", got, want)
	}
}

func TestTenth(t *testing.T) {
	s := brief.Statistic{Tenth: true}
	var values []float64
	for i := range 101 {
		values = append(values, float64((i*37)%101))
	}
	if got := exact(s, values, nil, 101); got != 90 {
		t.Errorf("of 0 to 100, smaller being better, nine in ten are within %v, want 90", got)
	}
	// Mean 3, deviation 1.
	if got := near(s, []float64{2, 4, 2, 4}, nil, 4); math.Abs(got-(3+1.2815515655446004)) > 1e-12 {
		t.Errorf("few values = %v, want the mean and 1.28 deviations", got)
	}
}
