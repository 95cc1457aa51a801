package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync/atomic"

	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/table"
)

// A trial is 16 stretches of up to 256 neighbours from all over the plan:
// neighbours, because they compress as the parts will.
const (
	stretches   = 16
	mostStretch = 256
	trialShare  = 8 // one flight of a small plan in so many
)

// diskReserve is left free on the disk beside what the sweep takes: estimates
// miss, and others write too.
const diskReserve = 1.1

// size tells how many flights there are, and measures how long they will take
// and how much disk. It refuses a sweep that does not fit on the disk.
func (w *sweeping) size(ctx context.Context, dir string, room func(string) (uint64, error)) error {
	left := float64(w.state.Size - w.flown())
	rate, bytes, err := w.trial(ctx)
	if err != nil {
		return err
	}
	if ctx.Err() != nil {
		return coded{errors.New("sweep: interrupted before the first flight"), exitInterrupted}
	}
	text := whole(float64(w.state.Size)) + " flights"
	if left < float64(w.state.Size) {
		text += ", " + whole(left) + " of them left"
	}
	text += fmt.Sprintf(", about %s with %d at a time (%s a second)", lasting(left/rate), w.workers, whole(rate))
	if w.state.Mode != sweep.FrontMode {
		free, err := room(existing(dir))
		if err != nil {
			return err
		}
		need := left * bytes
		text += fmt.Sprintf("; %s in %s, %s free", amountOf(need), filepath.Join(dir, "flights"), amountOf(float64(free)))
		if need*diskReserve > float64(free) {
			return fmt.Errorf("%s: %s", dir, text+": want room for all")
		}
	}
	if !w.quiet {
		w.say(text)
	}
	return nil
}

// existing returns dir or the nearest folder above it that is there.
func existing(dir string) string {
	for {
		if info, err := os.Stat(dir); err == nil && info.IsDir() {
			return dir
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return "."
		}
		dir = parent
	}
}

// trial measures flights a second and bytes a flight.
func (w *sweeping) trial(ctx context.Context) (rate, bytes float64, err error) {
	stretch := min(w.state.Size/(stretches*trialShare)+4, mostStretch)
	n, apart := stretches*stretch, (w.state.Size-stretch)/(stretches-1)
	if n >= w.state.Size {
		n, stretch, apart = w.state.Size, w.state.Size, 0
	}
	rows := output.NewFlights(w.brief, w.id(), int(n))
	counts := newCounts(len(w.brief.Limits))
	var flown atomic.Int64
	start := now()
	sweep.Each(ctx, 0, n, w.workers, func() func(int64) {
		fly := w.flier(rows, counts, true)
		return func(i int64) {
			fly(func() int { return int(i) }, i%stretch+i/stretch*apart)
			flown.Add(1)
		}
	})
	rate = float64(max(flown.Load(), 1)) / since(start)
	bytes, err = table.PartBytes(rows.Table(int(n)), table.Meta{})
	if w.state.FeasibleOnly {
		bytes *= float64(counts.feasible.Load()+1) / float64(n) // a trial may find none
	}
	return rate, bytes, err
}
