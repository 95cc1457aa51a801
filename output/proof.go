package output

import (
	"cmp"
	"slices"
	"strings"
)

// proofs returns the columns of a robust search: each goal over the flights
// under scatter, and the chance of keeping each limit.
func (l Layout) proofs(rows []Row) []Column {
	if l.Confidence == 0 {
		return nil
	}
	var columns []Column
	number := func(key, unit, doc string, value func(r Row) Value) {
		columns = append(columns, Column{
			Name: ColumnName(key, unit), Unit: writtenUnit(unit), Role: Figure, Doc: doc,
			Values: gather(rows, func(r Row) Value {
				if r.Chances == nil {
					return Value{}
				}
				return value(r).written(unit)
			}),
		})
	}
	for i, q := range l.Goals {
		number(strings.ReplaceAll(l.Summed[i], " ", "_")+"_"+q.Key, q.Unit, "goal over the flights under scatter: "+l.Summed[i]+" of "+q.Key, func(r Row) Value { return r.Goals[i] })
	}
	for i, q := range l.Limits {
		key := ColumnName(q.Key, "1")
		number("chance_"+key, "1", "share of the flights under scatter that keep the limit on "+q.Key,
			func(r Row) Value { return Of(r.Chances[i].Share, true) })
		number("chance_least_"+key, "1", "lower bound on the chance of keeping the limit on "+q.Key,
			func(r Row) Value { return Of(r.Chances[i].AtLeast, true) })
	}
	return columns
}

// goalColumn is the column of goal i in a text: of a robust search as it is
// summed up, but for a quantity, which is as set in every flight.
func (l Layout) goalColumn(i int, rows []Row) textColumn {
	q := l.Goals[i]
	if l.Confidence == 0 || strings.Contains(q.Key, ".") {
		return l.textColumn(q, gather(rows, func(r Row) Value { return l.find(r, q.Key) }))
	}
	c := l.textColumn(q, gather(rows, func(r Row) Value {
		if r.Goals == nil {
			return Value{}
		}
		return r.Goals[i]
	}))
	return newTextColumn([3]string{l.Summed[i], c.head[1], c.head[2]}, c.cells)
}

// missedBySome lists the limits that some flights of a row miss, the least kept
// first.
func (l Layout) missedBySome(r Row) []string {
	var at []int
	for i, c := range r.Chances {
		if c.Share < 1 {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(r.Chances[a].Share, r.Chances[b].Share) })
	return gather(at, func(i int) string { return l.Limits[i].Key })
}
