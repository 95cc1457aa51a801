package main

import (
	"sync"
	"sync/atomic"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/table"
)

// landingDraws is how often each design of a front is flown for where it comes
// down: enough to see a cloud, few beside the flights of the search.
const landingDraws = 100

// landings flies the designs of a front under scatter, all under the same
// draws, and returns where each comes down. It returns none where nothing
// scatters. The result does not depend on the workers.
func landings(b *brief.Brief, xs [][]float64, workers int) [][]output.Landing {
	if len(b.Scatter)+len(b.Day) == 0 {
		return nil
	}
	all := make([][]output.Landing, len(xs))
	var taken atomic.Int64
	var busy sync.WaitGroup
	for range min(workers, len(xs)) {
		busy.Go(func() {
			fly := b.Scatterer(landingDraws, b.Search.Seed)
			for i := int(taken.Add(1)) - 1; i < len(xs); i = int(taken.Add(1)) - 1 {
				for _, f := range fly(xs[i]).Each {
					all[i] = append(all[i], output.Landing{
						Drift: table.Of(f.Figure(model.Drift)), Speed: table.Of(f.Figure(model.LandingSpeed)),
					})
				}
			}
		})
	}
	busy.Wait()
	return all
}
