package fleet

import (
	"context"
	"encoding/json"
	"sync"

	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
)

// Epochs returns a Runner that has each epoch of a search flown elsewhere. j
// holds what the jobs have in common, s what the search was given. The Runner
// errs where ask does.
func Epochs(ask Ask, j Job, s optimize.Settings) optimize.Runner {
	if s.Algorithm == 0 {
		s.Algorithm = optimize.Default // the zero has no name to be sent by
	}
	return func(ctx context.Context, isl optimize.Island) (optimize.Island, error) {
		wire, err := isl.MarshalBinary()
		if err != nil {
			return isl, err
		}
		j := j
		j.Leg = &Leg{Settings: s, Index: isl.Index, Island: wire}
		if isl.Flights > 0 {
			j.First = nil // they were for the first population
		}
		flown := isl
		err = ask(ctx, j, func(body []byte) error {
			return flown.UnmarshalBinary(body)
		})
		return flown, err
	}
}

const (
	rowsAtATime  = 1 << 12 // designs in a stretch: a sixth of a second on one core
	tallyAtATime = 1 << 14
)

// Rows has the designs from ≤ number < to of a sweep flown elsewhere and calls
// take for each, in any order, several at a time; k is only valid during the
// call. j holds what the jobs have in common, the mode and size of the stretch
// among it, and limits is the number of the brief's. It errs where ask does.
func Rows(ctx context.Context, ask Ask, j Job, limits int, from, to int64, take func(i int64, k *study.Kept)) error {
	return stretches(ctx, from, to, rowsAtATime, func(ctx context.Context, from, to int64) error {
		j := j.stretch(from, to)
		return ask(ctx, j, func(body []byte) error {
			return eachRow(body, int(to-from), limits, len(j.Stretch.Numbers), func(i int, k *study.Kept) { take(from+int64(i), k) })
		})
	})
}

// Advance is Tally.Advance with the designs flown elsewhere; done is told, by
// several at a time, how many more were flown. It errs where ask does, and then
// leaves t as it was.
func Advance(ctx context.Context, ask Ask, j Job, t *sweep.Tally, p *optimize.Problem, to int64, done func(flights int64)) error {
	var mu sync.Mutex
	var found []sweep.Tally
	err := stretches(ctx, t.Next, to, tallyAtATime, func(ctx context.Context, from, to int64) error {
		return ask(ctx, j.stretch(from, to), func(body []byte) error {
			var got sweep.Tally
			if err := json.Unmarshal(body, &got); err != nil {
				return err
			}
			mu.Lock()
			found = append(found, got)
			mu.Unlock()
			done(to - from)
			return nil
		})
	})
	if err == nil {
		t.Join(p, found, to)
	}
	return err
}

func (j Job) stretch(from, to int64) Job {
	s := *j.Stretch
	s.From, s.To = from, to
	j.Stretch = &s
	return j
}

// stretches calls fly for each piece of from ≤ number < to, all at a time: they
// wait most of it. The first error ends them all.
func stretches(ctx context.Context, from, to, size int64, fly func(ctx context.Context, from, to int64) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var busy sync.WaitGroup
	for first := from; first < to; first += size {
		busy.Go(func() {
			if err := fly(ctx, first, min(first+size, to)); err != nil {
				cancel(err)
			}
		})
	}
	busy.Wait()
	return context.Cause(ctx)
}
