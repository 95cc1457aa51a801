package output

import "strings"

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
