package optimize

import (
	"cmp"
	"math"
	"slices"
)

// A Front gathers the designs that no other one offered to it dominates, all
// of them, whatever their number. Of designs equal in every goal it keeps the
// one with the largest slack, of those the one offered first.
type Front struct {
	archive archive
	exact   []float64 // tolerances of 0
	columns int       // of X
}

// NewFront returns an empty front of designs that have that many values in X, at
// least 1, and that many goals, 1 to 5.
func NewFront(columns, goals int) *Front {
	return &Front{archive: newArchive(goals, math.MaxInt, Rows{}, nil), exact: make([]float64, goals), columns: columns}
}

// Offer adds a feasible design unless a member dominates it, and drops the
// members that it dominates. x and goals have the lengths that NewFront was
// told, and goals are finite and minimised. A larger slack is better. Offer
// copies x and goals.
func (f *Front) Offer(x, goals []float64, slack float64) {
	f.archive.offer(x, goals, slack, f.exact)
}

// Designs returns the members by rising goals: the first goal counts, then the
// second and so on. No two have equal goals. They carry no violations and share
// no memory with the front.
func (f *Front) Designs() []Design {
	rows, _ := f.archive.pack()
	m, n := len(f.exact), f.columns
	out := make([]Design, rows.Len())
	for i := range out {
		out[i].X = rows.Genes[i*n : i*n+n : i*n+n]
		out[i].Goals = rows.Goals[i*m : i*m+m : i*m+m]
		out[i].Slack = rows.Slack[i]
	}
	slices.SortFunc(out, func(a, b Design) int {
		return cmp.Or(slices.Compare(a.Goals, b.Goals), slices.Compare(a.X, b.X))
	})
	return out
}
