package optimize

import "slices"

// An Island is one population with all that its next epoch depends on: plain
// numbers and slices of them. The zero Island but for Index is one that has
// not begun.
type Island struct {
	Index      int  // place in the ring, from 0
	Generation int  // generations bred, the first population not counted
	Flights    int  // evaluations, failed ones included
	Feasible   int  // of them without a violation
	Failed     int  // of them that could not be computed
	Exhausted  bool // every design of its grid was flown

	Population Rows    // best first; migrants at the end
	Archive    Rows    // feasible and non-dominated, without violations
	Blocks     []int32 // lengths of the blocks of neighbours that Archive is divided into
	Kept       Rows    // feasible, as Problem.Keep says, without violations

	Credits []float64 // of each operator, smoothed share of children that survive
	Scales  []float64 // of each limit, the largest violation so far, 0: none yet
	Worst   []float64 // of each goal, the largest among feasible designs; nil: none yet
	Flown   []uint64  // open table of fingerprints, 0 where a place is free
	Held    int       // fingerprints in Flown: flights and migrants
}

// Rows are designs and their results, a column a field: design i of a problem
// with n variables has its genes at Genes[i·n : (i+1)·n], and so on.
type Rows struct {
	Genes      []float64 // the value of a continuous variable, else the index of the value
	Goals      []float64
	Violations []float64
	Slack      []float64
	Failed     []bool
}

// Len returns the number of designs in the rows.
func (r *Rows) Len() int { return len(r.Slack) }

// clone returns a copy with room for so many more designs.
func (r *Rows) clone(room int) Rows {
	n, m, l := r.widths()
	return Rows{
		Genes:      roomy(r.Genes, room*n),
		Goals:      roomy(r.Goals, room*m),
		Violations: roomy(r.Violations, room*l),
		Slack:      roomy(r.Slack, room),
		Failed:     roomy(r.Failed, room),
	}
}

func roomy[T any](s []T, room int) []T {
	if room == 0 {
		return slices.Clone(s)
	}
	return append(make([]T, 0, len(s)+room), s...)
}

// appendRow appends design i of from, a set of rows of the same problem.
func (r *Rows) appendRow(from *Rows, i int) {
	n, m, l := from.widths()
	r.Genes = append(r.Genes, from.Genes[i*n:i*n+n]...)
	r.Goals = append(r.Goals, from.Goals[i*m:i*m+m]...)
	r.Violations = append(r.Violations, from.Violations[i*l:i*l+l]...)
	r.Slack = append(r.Slack, from.Slack[i])
	r.Failed = append(r.Failed, from.Failed[i])
}

// widths returns the lengths of one design's genes, goals and violations.
func (r *Rows) widths() (n, m, l int) {
	k := max(r.Len(), 1)
	return len(r.Genes) / k, len(r.Goals) / k, len(r.Violations) / k
}

// clone returns a copy with room for so many more designs in the archive.
func (isl *Island) clone(room int) Island {
	c := *isl
	c.Population, c.Archive = isl.Population.clone(0), isl.Archive.clone(room)
	c.Blocks, c.Kept = slices.Clone(isl.Blocks), isl.Kept.clone(0)
	c.Credits, c.Scales, c.Worst = slices.Clone(isl.Credits), slices.Clone(isl.Scales), slices.Clone(isl.Worst)
	c.Flown = slices.Clone(isl.Flown)
	return c
}

// designs returns the rows as designs that share no memory with them.
// Rows without violations get zeros.
func (r *Rows) designs(p *Problem, axes []axis) []Design {
	n, m, l := len(axes), p.Goals, p.Limits
	out := make([]Design, r.Len())
	values, violations := make([]float64, 0, len(r.Genes)), make([]float64, len(out)*l)
	copy(violations, r.Violations)
	goals := slices.Clone(r.Goals)
	for i := range out {
		for j := range axes {
			values = append(values, axes[j].value(r.Genes[i*n+j]))
		}
		out[i] = Design{X: values[i*n : i*n+n : i*n+n], Result: Result{
			Goals:      goals[i*m : i*m+m : i*m+m],
			Violations: violations[i*l : i*l+l : i*l+l],
			Slack:      r.Slack[i],
			Failed:     r.Failed[i],
		}}
	}
	return out
}
