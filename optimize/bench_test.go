package optimize

import (
	"context"
	"fmt"
	"slices"
	"testing"
)

// BenchmarkEpoch measures what the search costs for each flight on top of the
// flight itself: goals and nothing else are computed, at 30 and 12 variables.
func BenchmarkEpoch(b *testing.B) {
	for _, k := range []known{zdt1(), dtlz2(3)} {
		b.Run(fmt.Sprintf("default/goals=%d", k.Goals), func(b *testing.B) {
			benchEpoch(b, &k.Problem, Settings{Flights: 1 << 40, Islands: 1})
		})
		for _, n := range []int{100, 500, 2000} {
			b.Run(fmt.Sprintf("reference/goals=%d/population=%d", k.Goals, n), func(b *testing.B) {
				benchEpoch(b, &k.Problem, Settings{Flights: 1 << 40, Population: n, Algorithm: Reference})
			})
		}
	}
}

func benchEpoch(b *testing.B, p *Problem, s Settings) {
	b.ReportAllocs()
	ctx := context.Background()
	flights := 0
	isl, err := Epoch(ctx, p, s, Island{}, 1, 1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		before := isl.Flights
		if before > 10000+s.Population { // a search's length
			b.StopTimer()
			isl, _ = Epoch(ctx, p, s, Island{}, 1, 1)
			before = isl.Flights
			b.StartTimer()
		}
		if isl, err = Epoch(ctx, p, s, isl, epochGenerations, 1); err != nil {
			b.Fatal(err)
		}
		flights += isl.Flights - before
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(flights), "ns/flight")
}

// BenchmarkEvaluation measures what BenchmarkEpoch has to leave out.
func BenchmarkEvaluation(b *testing.B) {
	for _, k := range []known{zdt1(), dtlz2(3)} {
		b.Run(k.name, func(b *testing.B) {
			f := k.Evaluator()
			x := make([]float64, len(k.Variables))
			r := Result{Goals: make([]float64, k.Goals)}
			for b.Loop() {
				f(x, &r)
			}
		})
	}
}

// BenchmarkShares finds the share of the exact hypervolume, in %, that 100
// designs miss, by default settings: the median and the quartiles over 21
// searches. Their time is not of interest.
func BenchmarkShares(b *testing.B) {
	shares := func(k known, flights int) {
		b.Run(fmt.Sprintf("%s/goals=%d/flights=%d", k.name, k.Goals, flights), func(b *testing.B) {
			var missed []float64
			for b.Loop() {
				missed = missed[:0]
				for seed := range uint64(21) {
					o, err := Evolve(b.Context(), &k.Problem, Settings{Seed: seed + 1, Flights: flights}, 2, nil)
					if err != nil {
						b.Fatal(err)
					}
					missed = append(missed, 100*k.shortfall(o.Archive, 100))
				}
			}
			slices.Sort(missed)
			b.ReportMetric(missed[5], "%lower-quartile")
			b.ReportMetric(missed[10], "%median")
			b.ReportMetric(missed[15], "%upper-quartile")
		})
	}
	for _, k := range every() {
		shares(k, 10000)
	}
	shares(osy(), 40000)
}
