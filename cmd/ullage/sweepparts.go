package main

import (
	"context"
	"slices"
	"sync/atomic"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/sweep"
	"ullage/output"
)

// counts are those of one part, which several workers fill.
type counts struct {
	feasible, failed atomic.Int64
	missed           []atomic.Int64 // of each limit
}

func newCounts(limits int) *counts { return &counts{missed: make([]atomic.Int64, limits)} }

// panicked is the outcome of a flight that broke the program.
const panicked = "panicked"

// pilot returns a function that flies a design of the plan and sets its row.
func (w *sweeping) pilot(rows *output.Flights, counts *counts) func(row int, i int64) {
	metrics := w.metrics()
	x := make([]float64, len(w.brief.Vary))
	numbers := make([]output.Value, len(metrics))
	scratch := model.NewScratch()
	return func(row int, i int64) {
		w.plan.At(i, x)
		clear(numbers)
		outcome, feasible := panicked, false
		func() {
			defer func() {
				if outcome == panicked {
					_ = recover()
					scratch = model.NewScratch() // the old one is suspect
				}
			}()
			rocket, site := w.brief.At(x)
			flight := model.Fly(&rocket, &site, scratch)
			feasible = flight.Outcome == model.Landed
			for k := range metrics {
				numbers[k] = output.Of(metrics[k].Value(&rocket, &site, &flight))
			}
			for k, s := range w.brief.Slacks(&rocket, &site, &flight) {
				if !s.Present || s.Value < 0 {
					feasible = false
					if flight.Outcome == model.Landed {
						counts.missed[k].Add(1)
					}
				}
			}
			outcome = flight.Outcome.String()
		}()
		switch {
		case feasible:
			counts.feasible.Add(1)
		case outcome != model.Landed.String():
			counts.failed.Add(1)
		}
		rows.Set(row, x, numbers, feasible, outcome)
	}
}

// metrics returns what stands behind the layout's Numbers.
func (w *sweeping) metrics() []brief.Metric {
	known := map[string]brief.Metric{}
	for _, g := range w.brief.Goals {
		known[g.Key] = g.Metric
	}
	for _, l := range w.brief.Limits {
		known[l.Metric.Key] = l.Metric
	}
	var metrics []brief.Metric
	for _, q := range w.layout.Numbers() {
		metrics = append(metrics, known[q.Key])
	}
	return metrics
}

// A filled part waits to be written.
type filled struct {
	part output.Part
	rows *output.Flights
}

// flyParts flies the parts that are missing. While one is written the next is
// flown, so that two are in memory. It stops when ctx ends; what is whole by
// then is written.
func (w *sweeping) flyParts(ctx context.Context) error {
	n := min(w.state.Part, w.state.Size)
	spare := make(chan *output.Flights, 2)
	spare <- w.layout.NewFlights(int(n))
	spare <- w.layout.NewFlights(int(n))
	queue, written := make(chan filled), make(chan error, 1)
	var failed atomic.Bool // the disk: nothing more can be kept
	go func() {
		var err error
		for f := range queue {
			if err == nil {
				err = w.keep(f)
				failed.Store(err != nil)
			}
			spare <- f.rows
		}
		written <- err
	}()
	for number := range w.missing() {
		f := filled{rows: <-spare}
		if failed.Load() || !w.fill(ctx, number, &f) {
			break
		}
		queue <- f
	}
	close(queue)
	return <-written
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

// fill flies a part and reports whether it is whole.
func (w *sweeping) fill(ctx context.Context, number int, f *filled) bool {
	from := int64(number-1) * w.state.Part
	to := min(from+w.state.Part, w.state.Size)
	counts := newCounts(len(w.brief.Limits))
	whole := sweep.Each(ctx, from, to, w.workers, func() func(int64) {
		fly := w.pilot(f.rows, counts)
		return func(i int64) {
			fly(int(i-from), i)
			w.meter.flights.Add(1)
		}
	})
	f.part = output.Part{Number: number, Flights: to - from, Feasible: counts.feasible.Load(), Failed: counts.failed.Load()}
	for k := range counts.missed {
		f.part.Missed = append(f.part.Missed, counts.missed[k].Load())
	}
	w.meter.feasible.Add(f.part.Feasible)
	return whole
}

// keep writes a part and then, that it is there.
func (w *sweeping) keep(f filled) (err error) {
	if f.part.SHA256, err = w.folder.WritePart(f.part.Number, f.rows.Table(int(f.part.Flights))); err != nil {
		return err
	}
	w.state.Parts = append(slices.Clip(w.state.Parts), f.part)
	return w.folder.WriteSweep(&w.state)
}
