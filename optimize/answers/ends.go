package answers

import (
	"math"

	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// An AtEnd is a quantity that stands at an end of its range in some design: a
// wider range may give more.
type AtEnd struct {
	*brief.Quantity
	Value float64 // SI
}

// EndsOf lists the quantities of a design of b that stand at an end of the range
// that the brief lets them have, of choices at the least or the greatest. An
// end beyond which nothing can be, as a ballast of 0, is none.
func EndsOf(b *brief.Brief, x []float64) []AtEnd {
	var ends []AtEnd
	for i := range b.Vary {
		v := &b.Vary[i]
		if v.Names != nil {
			continue // words have no order, and no end
		}
		low, high := v.Lowest(), v.Highest()
		near := 1e-9 * (high - low)
		switch {
		case x[i] <= low+near && low > v.Min:
			ends = append(ends, AtEnd{v.Quantity, low})
		case x[i] >= high-near && high < v.Max:
			ends = append(ends, AtEnd{v.Quantity, high})
		}
	}
	return ends
}

// A BestAtEnd is the design of a front that is best in a goal, with what stands
// at an end of its range there.
type BestAtEnd struct {
	Goal *brief.Goal
	Ends []AtEnd
}

// BestsAtEnds lists the goals of b in which the best of the rows has a quantity
// at an end of its range; values holds what each row is worth in each goal, of a
// goal a slice, in SI, NaN where it is not there.
func BestsAtEnds(b *brief.Brief, rows []study.Row, values [][]float64) []BestAtEnd {
	var all []BestAtEnd
	for k := range b.Goals {
		g, best := &b.Goals[k], -1
		for i, v := range values[k] {
			if !math.IsNaN(v) && rows[i].Kept(b) && (best < 0 || g.Minimised(v) < g.Minimised(values[k][best])) {
				best = i
			}
		}
		if best < 0 {
			continue
		}
		if ends := EndsOf(b, rows[best].X); len(ends) > 0 {
			all = append(all, BestAtEnd{g, ends})
		}
	}
	return all
}
