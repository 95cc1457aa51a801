package wording

import (
	"math"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

// GoalColumn returns the column of goal i of b for rows: of a robust search as it
// is summed up, but for a quantity, which is as set in every flight.
func GoalColumn(b *brief.Brief, i int, rows []study.Row) text.Column {
	g := &b.Goals[i]
	c := text.ColumnOf(g.Key, g.Unit, GoalValues(b, i, rows))
	if summedUp(b, g) {
		c.Head[0] = output.Summed(g)
	}
	return c
}

// GoalValues returns what GoalColumn shows, in SI; NaN where it is not there.
func GoalValues(b *brief.Brief, i int, rows []study.Row) []float64 {
	g := &b.Goals[i]
	return table.Gather(rows, func(r study.Row) float64 {
		switch {
		case !summedUp(b, g):
			return output.NumberOf(b, &g.Metric, &r)
		case r.Proof == nil:
			return math.NaN()
		}
		return g.Natural(r.Proof.Goals[i])
	})
}

func summedUp(b *brief.Brief, g *brief.Goal) bool {
	return b.Search.Robust.Draws > 0 && g.Quantity == nil
}
