package main

import (
	"context"
	"runtime"
	"slices"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
)

// chosen returns the designs of the front: the best of the archive, in a
// robust search those of them that are proved to keep the limits. The proof's
// flights and findings are added to what was found.
func (j *job) chosen(ctx context.Context, found *optimize.Outcome, workers int) []optimize.Design {
	b := j.brief
	if b.Search.Robust.Draws == 0 {
		return optimize.Choose(found.Archive, b.Search.Front)
	}
	proven := b.Prove(ctx, found.Archive, workers)
	if ctx.Err() != nil {
		found.Stop = "interrupted"
	}
	found.Flights += proven.Flights
	found.Met = proven.Met
	j.proven = &proven
	if len(proven.Designs) == 0 { // interrupted before the first proof
		return optimize.Choose(found.Archive, b.Search.Front)
	}
	var front []optimize.Design
	for i := range proven.Designs {
		front = append(front, proven.Designs[i].Design)
	}
	return front
}

// proveAgain shows the proofs of a front that was read: the same draws give the
// same flights.
func (j *job) proveAgain(rows []output.Row) {
	if j.brief.Search.Robust.Draws == 0 {
		return
	}
	designs := make([]optimize.Design, len(rows))
	for i := range rows {
		designs[i] = optimize.Design{X: rows[i].X, Result: optimize.Result{Goals: make([]float64, len(j.brief.Goals))}}
	}
	j.proven = &brief.Proven{Designs: j.brief.Proofs(context.Background(), designs, runtime.NumCPU())}
	j.proofs(rows)
}

// proofs adds to the rows of a front what was proved of their designs.
func (j *job) proofs(rows []output.Row) {
	if j.proven == nil {
		return
	}
	for i := range rows {
		r := &rows[i]
		at := slices.IndexFunc(j.proven.Designs, func(p brief.Proof) bool { return slices.Equal(p.X, r.X) })
		if at < 0 {
			continue
		}
		p := &j.proven.Designs[at]
		for k, v := range p.Goals {
			r.Goals = append(r.Goals, table.Of(j.brief.Goals[k].Natural(v), true))
		}
		for _, c := range p.Chances {
			r.Chances = append(r.Chances, output.Chance{Share: c.Share(), AtLeast: c.AtLeast()})
		}
		r.Held = p.Held
	}
}

// proofRecord says what run.json keeps of the proof.
func (j *job) proofRecord() *runs.Proof {
	if j.proven == nil {
		return nil
	}
	robust := j.brief.Search.Robust
	return &runs.Proof{
		Draws: robust.Draws, Confidence: robust.Confidence,
		Checked: j.proven.Checked, Dropped: j.proven.Dropped, Flights: j.proven.Flights,
	}
}
