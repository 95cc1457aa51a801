package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"sync/atomic"

	"ullage/model"
	"ullage/optimize/fleet"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
)

// counts are those of one part, which several workers fill.
type counts struct {
	feasible, failed atomic.Int64
	missed           []atomic.Int64 // of each limit
}

func newCounts(limits int) *counts { return &counts{missed: make([]atomic.Int64, limits)} }

// take notes a flight.
func (c *counts) take(k *study.Kept) {
	switch {
	case k.Feasible:
		c.feasible.Add(1)
	case k.Outcome != model.Landed.String():
		c.failed.Add(1)
	}
	for i, missed := range k.Missed {
		if missed {
			c.missed[i].Add(1)
		}
	}
}

// flier returns a function that flies a design of the plan and sets the row that
// it asks for, of every flight or of those that the sweep keeps.
func (w *sweeping) flier(rows *output.Flights, counts *counts, all bool) func(row func() int, i int64) {
	fly, err := study.Keeper(w.brief, w.numbers())
	if err != nil {
		panic(err) // the keys are the brief's own
	}
	x := make([]float64, len(w.brief.Vary))
	var kept study.Kept
	return func(row func() int, i int64) {
		w.plan.At(i, x)
		fly(x, &kept)
		counts.take(&kept)
		if all || w.keeps(&kept) {
			rows.Set(row(), i+1, x, &kept)
		}
	}
}

// keeps reports whether a flight has a row.
func (w *sweeping) keeps(k *study.Kept) bool { return k.Feasible || !w.state.FeasibleOnly }

// numbers returns the keys of what a sweep keeps of a flight.
func (w *sweeping) numbers() []string {
	var keys []string
	for _, q := range output.Numbers(w.brief) {
		keys = append(keys, q.Key)
	}
	return keys
}

// A filled part waits to be written.
type filled struct {
	part runs.Part
	rows *output.Flights
	kept int // rows
}

// flyParts flies the parts that are missing. While one is written the next is
// flown, so that two are in memory. It stops when ctx ends; what is packed by
// then, or a moment later, is written.
func (w *sweeping) flyParts(ctx context.Context) error {
	n := min(w.state.Part, w.state.Size)
	spare := make(chan *output.Flights, 2)
	spare <- output.NewFlights(w.brief, w.id(), int(n))
	spare <- output.NewFlights(w.brief, w.id(), int(n))
	queue, written := make(chan filled), make(chan error, 1)
	var flaw error
	var failed atomic.Bool // the disk: nothing more can be kept
	late, stop := later(ctx)
	defer stop()
	go func() {
		var err error
		for f := range queue {
			if err == nil {
				err = w.keep(late, f)
				failed.Store(err != nil)
			}
			spare <- f.rows
		}
		written <- err
	}()
	for number := range w.missing() {
		f := filled{rows: <-spare}
		if failed.Load() {
			break
		}
		if flaw = w.fill(ctx, number, &f); flaw != nil {
			break
		}
		queue <- f
	}
	close(queue)
	return errors.Join(unlessEnded(ctx, flaw), <-written)
}

// missing yields the numbers of the parts that are not kept, in rising order.
func (w *sweeping) missing() func(yield func(int) bool) {
	held := map[int]bool{}
	for _, p := range w.state.Parts {
		held[p.Number] = true
	}
	last := int((w.state.Size + w.state.Part - 1) / w.state.Part)
	return func(yield func(int) bool) {
		for number := 1; number <= last; number++ {
			if !held[number] && !yield(number) {
				return
			}
		}
	}
}

// unlessEnded drops the error of work that ctx has ended: what is whole by then
// is kept.
func unlessEnded(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return nil
	}
	return err
}

// shared returns what the jobs of the sweep have in common.
func (w *sweeping) shared() fleet.Job {
	size := w.state.Size
	if w.state.Mode == sweep.IndicesMode {
		size /= int64(len(w.problem.Variables) + 2)
	}
	return fleet.Job{
		Name: w.brief.Name, Source: w.brief.Source, Set: w.brief.Set, Seed: w.brief.Search.Seed,
		Stretch: &fleet.Stretch{Mode: w.state.Mode, Size: size},
	}
}

// fillElsewhere has the rows of a part flown by others.
func (w *sweeping) fillElsewhere(ctx context.Context, from, to int64, rows *output.Flights, counts *counts, row func() int) error {
	j := w.shared()
	j.Stretch.Numbers = w.numbers()
	return fleet.Rows(ctx, w.ask, j, len(w.brief.Limits), from, to, func(i int64, k *study.Kept) {
		x := make([]float64, len(w.brief.Vary))
		w.plan.At(i, x)
		counts.take(k)
		if w.keeps(k) {
			rows.Set(row(), i+1, x, k)
		}
		w.meter.flights.Add(1)
	})
}

// fill flies a part. An error means that it is not whole.
func (w *sweeping) fill(ctx context.Context, number int, f *filled) error {
	from := int64(number-1) * w.state.Part
	to := min(from+w.state.Part, w.state.Size)
	counts := newCounts(len(w.brief.Limits))
	// Rows are taken as they come: the table brings them into order.
	var kept atomic.Int64
	row := func() int { return int(kept.Add(1)) - 1 }
	if w.ask != nil {
		if err := w.fillElsewhere(ctx, from, to, f.rows, counts, row); err != nil {
			return err
		}
	} else if !sweep.Each(ctx, from, to, w.workers, func() func(int64) {
		fly := w.flier(f.rows, counts, false)
		return func(i int64) {
			fly(row, i)
			w.meter.flights.Add(1)
		}
	}) {
		return ctx.Err()
	}
	f.kept = int(kept.Load())
	f.part = runs.Part{Number: number, Flights: to - from, Feasible: counts.feasible.Load(), Failed: counts.failed.Load()}
	for k := range counts.missed {
		f.part.Missed = append(f.part.Missed, counts.missed[k].Load())
	}
	w.meter.feasible.Add(f.part.Feasible)
	return nil
}

// keep writes a part and then, that it is there. One that is not packed when late
// ends is dropped.
func (w *sweeping) keep(late context.Context, f filled) error {
	name := runs.PartName(f.part.Number)
	data, err := until(late, name, func() ([]byte, error) { return table.EncodePart(f.rows.Table(f.kept), w.folder.Meta) })
	switch {
	case late.Err() != nil:
		return nil
	case err != nil:
		return fmt.Errorf("write %s: %w", filepath.Join(w.folder.Dir, name), err)
	}
	if err := w.folder.Write(name, data); err != nil {
		return err
	}
	f.part.SHA256 = w.folder.Sum(name)
	w.state.Parts = append(slices.Clip(w.state.Parts), f.part)
	return w.folder.WriteSweep(&w.state)
}
