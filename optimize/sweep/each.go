package sweep

import (
	"context"
	"sync"
	"sync/atomic"
)

// neighbours is the number of designs that a worker takes at a time: few enough
// that all workers end together, enough that taking them costs nothing.
const neighbours = 64

// Each calls a function for every number from ≤ i < to, on that many workers, at
// least 1: each worker asks worker once for a function of its own, which it
// calls in rising order of its numbers. Each returns when all are done. It
// reports false where ctx ended first: then some numbers may be left out.
func Each(ctx context.Context, from, to int64, workers int, worker func() func(i int64)) bool {
	var taken atomic.Int64
	var busy sync.WaitGroup
	taken.Store(from)
	for range workers {
		busy.Go(func() {
			call := worker()
			for ctx.Err() == nil {
				first := taken.Add(neighbours) - neighbours
				if first >= to {
					return
				}
				for i := first; i < min(first+neighbours, to); i++ {
					call(i)
				}
			}
		})
	}
	busy.Wait()
	return ctx.Err() == nil
}
