package text

import (
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
)

// FlyJSON returns one flight of b as a JSON object with a final newline:
// outcome, design, figures, doubts and slacks under their column names and in
// column order, and the keys of the warnings. What is not there is null.
func FlyJSON(b *brief.Brief, r *study.Row, doubts []answers.Doubt) ([]byte, error) {
	var flight, figures, slacks table.Object
	for i, info := range study.Figures() {
		figures.Add(table.ColumnName(info.Key, info.Unit), table.Written(r.Figures[i], info.Unit))
	}
	for i := range b.Limits {
		l := &b.Limits[i]
		slacks.Add(output.SlackName(l), table.Written(r.Slacks[i], l.Unit))
	}
	flight.Add("outcome", r.Outcome.String())
	flight.Add("design", design(b, r.X))
	flight.Add("figures", &figures)
	flight.Add("doubts", doubtsJSON(doubts))
	flight.Add("slacks", &slacks)
	flight.Add("warnings", r.Warnings.Keys())
	return flight.Indented()
}

// design returns a design of b under its column names.
func design(b *brief.Brief, x []float64) *table.Object {
	var o table.Object
	for _, s := range output.Settings(b) {
		o.Add(table.ColumnName(s.Key, s.Unit), s.Written(x))
	}
	return &o
}
