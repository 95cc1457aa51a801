package benchmarks

import (
	"context"
	"fmt"
	"testing"
	"time"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// robustVolume is the hypervolume of a robust front of the demo below the grid's worst.
func robustVolume(proven *study.Proven) float64 {
	if !proven.Met {
		return 0
	}
	goals := make([][]float64, len(proven.Designs))
	for i := range proven.Designs {
		goals[i] = proven.Designs[i].Goals
	}
	return optimize.Hypervolume(goals, gridWorst)
}

// BenchmarkRobust is the demo as a robust search, of so many seeds: it fails where
// one of them proves fewer than three designs.
func BenchmarkRobust(b *testing.B) {
	for b.Loop() {
		fmt.Println("| seed | screened | proved | dropped | in the front | hypervolume | seconds |\n| --- | --- | --- | --- | --- | --- | --- |")
		for seed := range besideSeeds {
			start := time.Now()
			demo := briefs.Demo(b, "field-day.toml", "search.robust.draws=200", "search.robust.confidence=0.95", fmt.Sprintf("search.seed=%d", seed+1))
			proven := robustly(b, demo)
			if len(proven.Designs) < 3 || !proven.Met {
				b.Errorf("seed %d: %d designs, met %v; want at least 3", seed+1, len(proven.Designs), proven.Met)
			}
			fmt.Printf("| %d | %d | %d | %d | %d | %.2f | %.1f |\n", seed+1, proven.Screened, proven.Checked, proven.Dropped, len(proven.Designs), robustVolume(&proven), time.Since(start).Seconds())
		}
	}
}

func robustly(b *testing.B, of *brief.Brief) study.Proven {
	b.Helper()
	p, err := study.Problem(of)
	if err != nil {
		b.Fatal(err)
	}
	s := optimize.Settings{Seed: of.Search.Seed, Islands: of.Search.Islands, Population: of.Search.Population, Flights: of.Plan().Search}
	found, err := optimize.Evolve(context.Background(), p, s, 2, nil)
	if err != nil {
		b.Fatal(err)
	}
	return study.Prove(context.Background(), of, &found, 2)
}
