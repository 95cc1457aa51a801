package answers

import (
	"fmt"
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A Best is the best design there is with one value of a quantity.
type Best struct {
	Value  float64   // SI
	Row    study.Row // Design is 0 where a design of the run was given the value and flown
	Missed []string  // keys of the limits that it misses
}

// mostValues is how many values of a quantity are compared.
const mostValues = 60

// BestOfEach returns, for every value that a varied quantity of b may have, the
// best design in the first goal: of rows, those of the run that have it, and of the
// first of them, n at most, given that value and flown; of equals that of the run.
// One that keeps every limit goes before one that does not, and that before one that
// misses more. It errs where the quantity is not varied, or has no steps or choices,
// or too many.
func BestOfEach(b *brief.Brief, key string, rows []study.Row, n int) ([]Best, error) {
	at := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == key })
	if at < 0 {
		return nil, fmt.Errorf("%s: not varied in this run, want a key of [vary]", key)
	}
	problem, err := study.Problem(b)
	if err != nil {
		return nil, err
	}
	count, value := problem.Variables[at].Values()
	if count == 0 || count > mostValues {
		return nil, fmt.Errorf("%s: %d values, want choices or steps, at most %d", key, count, mostValues)
	}
	scratch := model.NewScratch()
	var all []Best
	for k := range count {
		best := Best{Value: value(k)}
		found := false
		take := func(r study.Row) {
			if missed := r.Missed(b); !found || better(b, &r, missed, &best) {
				best.Row, best.Missed, found = r, missed, true
			}
		}
		for _, r := range rows {
			if r.X[at] == best.Value {
				take(r)
			}
		}
		for _, r := range rows[:min(n, len(rows))] {
			x := slices.Clone(r.X)
			x[at] = best.Value
			rocket, site := b.At(x)
			flight := model.Fly(&rocket, &site, scratch)
			take(study.RowOf(b, 0, x, &flight, scratch))
		}
		if found {
			all = append(all, best)
		}
	}
	return all, nil
}

// better reports whether a row misses fewer limits than the best so far, or as
// many and is better in the first goal.
func better(b *brief.Brief, r *study.Row, missed []string, best *Best) bool {
	if len(missed) != len(best.Missed) {
		return len(missed) < len(best.Missed)
	}
	of := func(r *study.Row) float64 {
		rocket, site := b.At(r.X)
		g := &b.Goals[0]
		if g.Quantity != nil {
			return g.Minimised(g.Quantity.Value(&rocket, &site))
		}
		return g.Minimised(r.Figures[g.Figure])
	}
	so := of(&best.Row)
	return math.IsNaN(so) || of(r) < so
}
