package text

import (
	"ullage/output"
	"ullage/output/table"
)

// FlyJSON returns one flight as a JSON object with a final newline: outcome,
// design, figures and slacks under their column names and in column order, and
// the keys of the warnings. What does not apply is null.
func FlyJSON(l output.Layout, r output.Row) ([]byte, error) {
	var design, figures, slacks table.Object
	for i, q := range l.Varied {
		design.Add(table.ColumnName(q.Key, q.Unit), table.Written(r.X[i], q.Unit))
	}
	for i, q := range l.Figures {
		figures.Add(table.ColumnName(q.Key, q.Unit), r.Figures[i].Written(q.Unit))
	}
	for i, q := range l.Limits {
		slacks.Add(output.SlackName(q), r.Slacks[i].Written(q.Unit))
	}
	var flight table.Object
	flight.Add("outcome", r.Outcome.String())
	flight.Add("design", &design)
	flight.Add("figures", &figures)
	flight.Add("slacks", &slacks)
	flight.Add("warnings", r.Warnings.Keys())

	return flight.Indented()
}
