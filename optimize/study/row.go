package study

import (
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
)

// A Row is one design of a brief with what its flights reported. Every table,
// text, page and card is made of rows. Numbers are in SI units; one that is not
// there is NaN.
type Row struct {
	Design   int       // its number, from 1; 0: the brief's own
	X        []float64 // a value of each of Brief.Vary
	Outcome  model.Outcome
	Warnings model.Warnings
	Figures  []float64 // in the order of Figures
	Slacks   []float64 // of each of Brief.Limits, positive inside
	Proof    *Proof    // by flights under scatter; nil where there was none
}

// Figures describes the figures of a row: those of a flight, then those that
// take flights of their own.
func Figures() []model.FigureInfo { return slices.Concat(model.Figures[:], brief.Extras[:]) }

// RowOf completes the row of a design from its flight f, with more flights for
// what one does not tell.
func RowOf(b *brief.Brief, design int, x []float64, f *model.Flight, scratch *model.Scratch) Row {
	r, s := b.At(x)
	extra, bare := extraOf(b, &r, &s, f, scratch)
	return rowOf(b, design, x, f, extra, &bare)
}

// quickRowOf is RowOf without what takes more flights than the one without canopy:
// the timer settings.
func quickRowOf(b *brief.Brief, design int, x []float64, f *model.Flight, scratch *model.Scratch) Row {
	r, s := b.At(x)
	extra, bare := bareOf(&r, &s, f, scratch)
	return rowOf(b, design, x, f, extra, &bare)
}

// rowOf makes a row of a flight, of extra figures, and of the flight without
// canopy, whose way of falling is warned of too.
func rowOf(b *brief.Brief, design int, x []float64, f *model.Flight, extra extras, bare *model.Flight) Row {
	r, s := b.At(x)
	row := Row{Design: design, X: x, Outcome: f.Outcome, Warnings: f.Warnings | bare.Warnings&model.Broadside}
	for id := range model.Figures {
		row.Figures = append(row.Figures, figure(f, model.Figure(id)))
	}
	row.Figures = append(row.Figures, extra[:]...)
	row.Slacks = slices.Clone(NewJudge(b).Of(&r, &s, f).Slacks)
	return row
}

// figure returns a figure of a flight, NaN where it has none.
func figure(f *model.Flight, id model.Figure) float64 {
	if v, ok := f.Figure(id); ok {
		return v
	}
	return math.NaN()
}

// Missed lists the keys of the limits that a row of b does not keep: where it
// was proved, those that it does not keep with the confidence.
func (r *Row) Missed(b *brief.Brief) []string {
	keys := []string{}
	for i, slack := range r.Slacks {
		kept := constraints.Kept(slack)
		if r.Proof != nil {
			kept = r.Proof.Chances[i].AtLeast() >= b.Search.Robust.Confidence
		}
		if !kept {
			keys = append(keys, b.Limits[i].Metric.Key)
		}
	}
	return keys
}

// Kept reports whether a row of b keeps every limit; in a robust search,
// whether that was proved.
func (r *Row) Kept(b *brief.Brief) bool {
	if b.Search.Robust.Draws > 0 {
		return r.Proof != nil && r.Proof.Held
	}
	return len(r.Missed(b)) == 0
}

// Binding lists the keys of the limits that a row of b has as good as reached.
func (r *Row) Binding(b *brief.Brief) []string {
	keys := []string{}
	for i, slack := range r.Slacks {
		if l := &b.Limits[i]; l.Binding(slack) { // never of a NaN
			keys = append(keys, l.Metric.Key)
		}
	}
	return keys
}
