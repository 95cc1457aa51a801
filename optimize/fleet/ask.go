package fleet

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
)

// Epochs returns a Runner that has each epoch of a search flown elsewhere. j
// holds what the jobs have in common.
func Epochs(ask Ask, j Job, p *optimize.Problem, s optimize.Settings) optimize.Runner {
	if s.Algorithm == 0 {
		s.Algorithm = optimize.Default // the zero has no name to be sent by
	}
	return func(ctx context.Context, isl optimize.Island) (optimize.Island, error) {
		wire, err := isl.MarshalBinary()
		if err != nil {
			return isl, err
		}
		j := j
		j.Epoch = &Epoch{Settings: s, Index: isl.Index, Island: wire}
		if isl.Flights > 0 {
			j.First = nil // they were for the first population
		}
		flown := isl
		err = ask(ctx, j, func(body []byte) error {
			var got optimize.Island
			if err := got.UnmarshalBinary(body); err != nil {
				return err
			}
			if err := got.Check(p, s, isl.Index); err != nil {
				return err
			}
			if got.Flights <= isl.Flights && !got.Exhausted {
				return fmt.Errorf("island %d: %d flights after %d", isl.Index, got.Flights, isl.Flights)
			}
			flown = got
			return nil
		})
		return flown, err
	}
}

const (
	rowsAtATime  = 1 << 12 // designs in a stretch: a sixth of a second on one core
	tallyAtATime = 1 << 14
)

// Rows has the designs from ≤ number < to of a sweep flown elsewhere and calls
// take for each, in any order, several at a time. j holds what the jobs have in
// common, the mode and size of the stretch among it.
func Rows(ctx context.Context, ask Ask, j Job, limits int, from, to int64, take func(i int64, k *study.Kept)) error {
	return stretches(ctx, from, to, rowsAtATime, func(ctx context.Context, from, to int64) error {
		j := j.stretch(from, to)
		return ask(ctx, j, func(body []byte) error {
			return EachRow(body, int(to-from), limits, len(j.Stretch.Numbers), func(i int, k *study.Kept) { take(from+int64(i), k) })
		})
	})
}

// Advance is Tally.Advance with the designs flown elsewhere; done is told how
// many were flown since it was called last.
func Advance(ctx context.Context, ask Ask, j Job, t *sweep.Tally, p *optimize.Problem, to int64, done func(flights int64)) error {
	var mu sync.Mutex
	var found []sweep.Tally
	err := stretches(ctx, t.Next, to, tallyAtATime, func(ctx context.Context, from, to int64) error {
		return ask(ctx, j.stretch(from, to), func(body []byte) error {
			var got sweep.Tally
			if err := json.Unmarshal(body, &got); err != nil {
				return err
			}
			if err := checkTally(&got, p, from, to); err != nil {
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

// checkTally tells what no tally of these designs can hold.
func checkTally(t *sweep.Tally, p *optimize.Problem, from, to int64) error {
	if n := to - from; t.Next != to || t.Feasible < 0 || t.Failed < 0 || t.Feasible+t.Failed > n || len(t.Missed) != p.Limits ||
		t.Worst != nil && len(t.Worst) != p.Goals || (t.Worst == nil) != (t.Feasible == 0) || int64(len(t.Front)) > t.Feasible {
		return fmt.Errorf("tally: counts that designs %d to %d cannot have", from, to-1)
	}
	for _, members := range [][]sweep.Member{t.Front, t.Nearest} {
		for _, m := range members {
			if m.Number < from || m.Number >= to || len(m.Goals) != p.Goals {
				return fmt.Errorf("tally: member %d with %d goals, want designs %d to %d with %d", m.Number, len(m.Goals), from, to-1, p.Goals)
			}
		}
	}
	for _, n := range t.Missed {
		if n < 0 || n > to-from {
			return fmt.Errorf("tally: %d designs miss a limit, want at most %d", n, to-from)
		}
	}
	return nil
}
