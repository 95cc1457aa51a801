package sample_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/testdata/kept"
)

// Other tests know the numbers of the sample: whoever changes one sees here which.
func TestSample(t *testing.T) {
	var out strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	b := sample.Brief("")
	say("brief")
	tell(say, b, sample.Rows())
	b, rows := sample.Robust()
	say("\nrobust: draws %d, confidence %v", b.Search.Robust.Draws, b.Search.Robust.Confidence)
	tell(say, b, rows)
	b, rows = sample.Broad("")
	say("\nbroad")
	tell(say, b, rows)
	b, rows = sample.Proved()
	say("\nproved: draws %d, confidence %v", b.Search.Robust.Draws, b.Search.Robust.Confidence)
	tell(say, b, rows)

	say("\ndoubts")
	for _, d := range sample.Doubts() {
		most := "nothing"
		if d.Most != nil {
			most = d.Most.Key
		}
		say("%s %v, %v to %v, most %s", model.Figures[d.Figure].Key, d.Value, d.Low, d.High, most)
	}
	s := sample.Scatter(2, true)
	say("\nscatter: %d flights, seed %d, days %v, %d designs", s.Flights, s.Seed, s.Days(), len(s.Designs))
	d := &s.Designs[1]
	say("design %d %v %v: chances %v, all %v", d.Design, d.X, d.Nominal.Outcome, d.Chances, d.All)
	for id, info := range model.Figures {
		if spread := &d.Spreads[id]; spread.Count > 0 || d.Within[id] != 0 {
			say("%s %+v, within a day %v", info.Key, *spread, d.Within[id])
		}
	}
	for _, w := range d.WhatIfs {
		say("%s (%s): %v, misses %v", w.Key, w.Doc, w.Flight.Outcome, w.Missed)
	}
	e := sample.Effects(3)
	say("\neffects of design %d %v %v, misses %v", e.Design, e.X, e.Flight.Outcome, e.Missed)
	for _, c := range e.Changes {
		say("%s step %v, share %v, doubt %v, misses %v: %v", c.Quantity.Key, c.Step, c.Share, c.Doubt, c.Missed, c.Changes)
	}
	say("\nindices")
	for _, r := range sample.Indices() {
		say("%+v", r)
	}
	kept.Same(t, "sample.txt", out.String())
}

// tell says what a brief asks for and what its rows hold.
func tell(say func(string, ...any), b *brief.Brief, rows []study.Row) {
	for i := range b.Vary {
		say("vary %s %v to %v", b.Vary[i].Key, b.Vary[i].Lowest(), b.Vary[i].Highest())
	}
	for i := range b.Goals {
		say("goal %s %s", b.Goals[i].Key, b.Goals[i].Describe())
	}
	for i := range b.Limits {
		l := &b.Limits[i]
		say("limit %s %v to %v, size %v, default %v, class %v", l.Metric.Key, l.AtLeast, l.AtMost, l.Size, l.Default, l.Class)
	}
	for _, r := range rows {
		say("row %d %v %v, warnings %v, slacks %v, misses %v, at %v", r.Design, r.X, r.Outcome, r.Warnings.Keys(), r.Slacks, r.Missed(b), r.Binding(b))
		for i, info := range study.Figures() {
			if !math.IsNaN(r.Figures[i]) {
				say("  %s %v", info.Key, r.Figures[i])
			}
		}
		if r.Proof != nil {
			say("  proof %+v", *r.Proof)
		}
	}
}
