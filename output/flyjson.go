package output

// FlyJSON returns one flight as a JSON object with a final newline: outcome,
// design, figures and slacks under their column names and in column order, and
// the keys of the warnings. What does not apply is null.
func (l Layout) FlyJSON(r Row) ([]byte, error) {
	var design, figures, slacks object
	for i, q := range l.Varied {
		design.add(ColumnName(q.Key, q.Unit), written(r.X[i], q.Unit))
	}
	for i, q := range l.Figures {
		figures.add(ColumnName(q.Key, q.Unit), r.Figures[i].written(q.Unit))
	}
	for i, q := range l.Limits {
		slacks.add(SlackName(q), r.Slacks[i].written(q.Unit))
	}
	var flight object
	flight.add("outcome", r.Outcome.String())
	flight.add("design", &design)
	flight.add("figures", &figures)
	flight.add("slacks", &slacks)
	flight.add("warnings", r.Warnings.Keys())

	return flight.bytes()
}
