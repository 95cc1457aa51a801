package terminal

import (
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
)

// doubtsJSON returns doubts under the column names of their figures; what
// weighs most by its key.
func doubtsJSON(doubts []answers.Doubt) *table.Object {
	var all table.Object
	for i := range doubts {
		d := &doubts[i]
		info := model.Figures[d.Figure]
		var one table.Object
		one.Add("value", table.Written(d.Value, info.Unit))
		one.Add("low", table.Written(d.Low, info.Unit))
		one.Add("high", table.Written(d.High, info.Unit))
		var most any // null where nothing moves the figure
		if d.Most != nil {
			most = d.Most.Key
		}
		one.Add("most", most)
		all.Add(table.ColumnName(info.Key, info.Unit), &one)
	}
	return &all
}

// FlyJSON returns one flight of b as a JSON object with a final newline: outcome,
// design, figures, doubts and slacks under their column names and in column order,
// and the keys of the warnings. What is not there is null. It errs only as
// encoding/json does, which none of its values makes it.
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
