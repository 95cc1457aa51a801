package output

import (
	"slices"

	"ullage/model"
	"ullage/output/table"
)

// A Layout says which numbers the rows of a search carry, in column order.
type Layout struct {
	Varied  []table.Quantity
	Figures []table.Quantity // those of FlightFigures first
	Goals   []table.Quantity // each also stands among Varied or Figures
	Limits  []table.Quantity // Unit is that of the limited number
	Fitted  bool             // to a flight log: the apogee is to be trusted more

	// Of a robust search: the chance that each limit is to be kept with, else
	// 0, and what sums up many flights for each goal: "mean", "p10".
	Confidence float64
	Summed     []string
}

// FlightFigures returns the figures that every flight reports, in the order of
// model.Figures.
func FlightFigures() []table.Quantity {
	figures := make([]table.Quantity, 0, model.FigureCount)
	for _, info := range model.Figures {
		figures = append(figures, table.Quantity{Key: info.Key, Unit: info.Unit, Doc: info.Doc})
	}
	return figures
}

// A Row is one design with what its flight reported: SI values, angles in
// radians, each slice parallel to its part of the Layout.
type Row struct {
	Design   int // from 1
	X        []float64
	Outcome  model.Outcome
	Warnings model.Warnings
	Figures  []table.Value
	Slacks   []table.Value // positive inside; one that does not apply is a limit missed
	Binding  []string
	Knee     bool

	// Of a robust search, nil where the design was not proved.
	Goals   []table.Value // each goal over the flights under scatter
	Chances []Chance      // of keeping each limit
	Held    bool          // each limit is kept with the confidence
}

// FlightRow returns a row with the outcome, the warnings and the figures of a
// flight; the rest is the caller's.
func FlightRow(f *model.Flight) Row {
	figures := make([]table.Value, 0, model.FigureCount)
	for id := range model.Figures {
		figures = append(figures, table.Of(f.Figure(model.Figure(id))))
	}
	return Row{Outcome: f.Outcome, Warnings: f.Warnings, Figures: figures}
}

// Missed lists the limits that the row does not meet: in a robust search those
// that it does not keep with the confidence.
func (l Layout) Missed(r Row) []string {
	keys := []string{}
	for i, limit := range l.Limits {
		s := r.Slacks[i]
		miss := !s.Applies || s.Number < 0
		if r.Chances != nil {
			miss = r.Chances[i].AtLeast < l.Confidence
		}
		if miss {
			keys = append(keys, limit.Key)
		}
	}
	return keys
}

// Feasible reports whether some row meets every limit.
func (l Layout) Feasible(rows []Row) bool { return slices.ContainsFunc(rows, l.feasible) }

// feasible reports whether the row meets every limit, in a robust search
// whether that was proved.
func (l Layout) feasible(r Row) bool {
	if l.Confidence > 0 {
		return r.Held
	}
	return len(l.Missed(r)) == 0
}

// Front returns the table of the front's rows, in the order given: design,
// every varied quantity, figure and slack, the proofs of a robust search, then binding, knee, feasible and
// warnings.
func (l Layout) Front(rows []Row) table.Table {
	var t table.Table
	add := func(c table.Column) { t.Columns = append(t.Columns, c) }
	add(identity("design", "number of the design in this run", table.Gather(rows, func(r Row) int32 { return int32(r.Design) })))
	for i, q := range l.Varied {
		c := l.column(q, table.Varied)
		c.Values = table.Gather(rows, func(r Row) float64 { return table.Written(r.X[i], q.Unit) })
		add(c)
	}
	for i, q := range l.Figures {
		c := l.column(q, table.Figure)
		c.Values = table.Gather(rows, func(r Row) table.Value { return r.Figures[i].Written(q.Unit) })
		add(c)
	}
	for i, q := range l.Limits {
		c := slackColumn(q)
		c.Values = table.Gather(rows, func(r Row) table.Value { return r.Slacks[i].Written(q.Unit) })
		add(c)
	}
	for _, c := range l.proofs(rows) {
		add(c)
	}
	add(identity("binding", "limits within 1 % of their bound", table.Gather(rows, func(r Row) []string { return r.Binding })))
	add(identity("knee", "the front's best compromise", table.Gather(rows, func(r Row) bool { return r.Knee })))
	add(identity("feasible", "meets every limit", table.Gather(rows, l.feasible)))
	add(identity("warnings", "reasons why the figures lie outside the model's domain",
		table.Gather(rows, func(r Row) []string { return r.Warnings.Keys() })))
	return t
}

// column describes q without its values; a goal takes that role wherever it
// stands, so that no number is written twice.
func (l Layout) column(q table.Quantity, role table.Role) table.Column {
	c := table.Column{Name: table.ColumnName(q.Key, q.Unit), Unit: table.Unit(q.Unit), Role: role, Doc: q.Doc}
	for _, goal := range l.Goals {
		if goal.Key == q.Key {
			c.Role, c.Sense = table.Goal, goal.Sense
		}
	}
	return c
}

// SlackName returns the column name of the distance to a limit.
func SlackName(limit table.Quantity) string {
	return "slack_" + table.ColumnName(limit.Key, limit.Unit)
}

func slackColumn(q table.Quantity) table.Column {
	doc := "distance of " + q.Key + " to its limit, positive inside"
	return table.Column{Name: SlackName(q), Unit: table.Unit(q.Unit), Role: table.Slack, Sense: q.Sense, Doc: doc}
}

func identity(name, doc string, values any) table.Column {
	return table.Column{Name: name, Unit: "1", Role: table.Identity, Doc: doc, Values: values}
}

// Find returns the number of a goal, which is a varied quantity or a figure.
func (l Layout) Find(r Row, key string) table.Value {
	for i, q := range l.Varied {
		if q.Key == key {
			return table.Of(r.X[i], true)
		}
	}
	for i, q := range l.Figures {
		if q.Key == key {
			return r.Figures[i]
		}
	}
	return table.Value{}
}
