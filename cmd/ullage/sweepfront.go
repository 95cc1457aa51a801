package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"ullage/optimize"
	"ullage/optimize/answers"
	"ullage/optimize/fleet"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/terminal"
	"ullage/output/text"
	"ullage/output/wording"
)

// flyFront flies the plan round by round and keeps the tally after each, until
// ctx ends.
func (w *sweeping) flyFront(ctx context.Context) error {
	w.meter.feasible.Store(w.tally.Feasible)
	counted := *w.problem
	counted.Evaluator = func() func([]float64, *optimize.Result) {
		evaluate := w.problem.Evaluator()
		return func(x []float64, r *optimize.Result) {
			w.meter.flights.Add(1)
			evaluate(x, r)
		}
	}
	for w.tally.Next < w.state.Size {
		to := min(w.tally.Next+w.state.Part, w.state.Size)
		if w.ask != nil {
			done := func(n int64) { w.meter.flights.Add(n) }
			if err := fleet.Advance(ctx, w.ask, w.shared(), &w.tally, w.problem, to, done); err != nil {
				return unlessEnded(ctx, err)
			}
		} else if !w.tally.Advance(ctx, &counted, w.plan, to, w.workers) {
			return nil
		}
		w.meter.feasible.Store(w.tally.Feasible)
		if n := len(w.tally.Front); n > runs.MostFront {
			return fmt.Errorf("%s: a front of %d designs after %d flights, want at most %d: coarser steps or fewer goals", w.folder.Dir, n, w.tally.Next, runs.MostFront)
		}
		var err error
		if w.state.Front, err = json.Marshal(w.tally); err != nil {
			return fmt.Errorf("%s: sweep.json: %w", w.folder.Dir, err)
		}
		if err := w.folder.WriteSweep(&w.state); err != nil {
			return err
		}
	}
	return nil
}

// finishFront writes the front, or where no design is feasible the nearest
// ones, marked.
func (w *sweeping) finishFront(ctx context.Context, record runs.Run, asJSON bool) error {
	members := w.tally.Front
	if len(members) == 0 {
		members = w.tally.Nearest
	}
	w.caution(w.brief)
	var rows []study.Row
	var doubts [][]answers.Doubt
	volume, err := until(ctx, w.folder.Dir, func() (float64, error) {
		rows, _ = w.rows(ctx, members)
		doubts = answers.DoubtsOf(ctx, w.brief, rows[:min(len(rows), w.brief.Search.Front)], w.workers)
		return w.volume(), nil
	})
	if err != nil {
		return w.interrupted(record)
	}
	record.Front, record.Hypervolume = len(rows), volume
	front := output.Front(w.brief, rows, doubts)
	for _, name := range []string{"front.parquet", "front.arrow"} {
		if err := w.folder.WriteTable(name, front); err != nil {
			return err
		}
	}
	if record, err = w.folder.Finish(record); err != nil {
		return err
	}
	words := terminal.Front(w.brief, rows, tableRows)
	if len(doubts) > 0 && doubts[0] != nil {
		words += "design 1:\n" + text.Folded("  ", wording.Doubts(w.brief, doubts[0])...)
	}
	words += text.Folded("", append(wording.Ends(w.brief, rows), wording.HowNear(w.brief, rows)...)...)
	if err := w.printRun(record, words+"\n", nil, asJSON); err != nil {
		return err
	}
	return w.met(record)
}

// rows flies members once more for all their figures, and returns them in the
// order of a front, or where none keeps the limits the nearest to them first. It reports false where ctx ended first.
func (w *sweeping) rows(ctx context.Context, members []sweep.Member) ([]study.Row, bool) {
	goals := make([][]float64, len(members))
	for i := range members {
		goals[i] = members[i].Goals
	}
	order := study.Order(goals)
	if len(w.tally.Front) == 0 {
		slices.Sort(order) // none keeps the limits: the nearest to them first, as they are
	}
	designs := make([][]float64, len(members))
	for place, at := range order {
		designs[place] = make([]float64, len(w.brief.Vary))
		w.plan.At(members[at].Number, designs[place])
	}
	return study.Rows(ctx, w.brief, designs, w.workers)
}

// volume returns the hypervolume of the front below the worst feasible value
// of each goal in the grid; 0 from 4 goals on, where it would take hours.
func (w *sweeping) volume() float64 {
	if w.tally.Worst == nil || w.problem.Goals > 3 {
		return 0
	}
	points := make([][]float64, len(w.tally.Front))
	for i, m := range w.tally.Front {
		points[i] = m.Goals
	}
	v := optimize.Hypervolume(points, w.tally.Worst)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}
