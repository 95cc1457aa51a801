package output

import (
	"strings"

	"ullage/output/table"
)

// proofs returns the columns of a robust search: each goal over the flights
// under scatter, and the chance of keeping each limit.
func (l Layout) proofs(rows []Row) []table.Column {
	if l.Confidence == 0 {
		return nil
	}
	var columns []table.Column
	number := func(key, unit, doc string, value func(r Row) table.Value) {
		columns = append(columns, table.Column{
			Name: table.ColumnName(key, unit), Unit: table.Unit(unit), Role: table.Figure, Doc: doc,
			Values: table.Gather(rows, func(r Row) table.Value {
				if r.Chances == nil {
					return table.Value{}
				}
				return value(r).Written(unit)
			}),
		})
	}
	for i, q := range l.Goals {
		number(strings.ReplaceAll(l.Summed[i], " ", "_")+"_"+q.Key, q.Unit, "goal over the flights under scatter: "+l.Summed[i]+" of "+q.Key, func(r Row) table.Value { return r.Goals[i] })
	}
	for i, q := range l.Limits {
		key := table.ColumnName(q.Key, "1")
		number("chance_"+key, "1", "share of the flights under scatter that keep the limit on "+q.Key,
			func(r Row) table.Value { return table.Of(r.Chances[i].Share, true) })
		number("chance_least_"+key, "1", "lower bound on the chance of keeping the limit on "+q.Key,
			func(r Row) table.Value { return table.Of(r.Chances[i].AtLeast, true) })
	}
	return columns
}
