package report

import (
	"slices"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

// pageData is what the page's script reads. Numbers are in shown units.
type pageData struct {
	Axes     []axis       `json:"axes"`  // the table's columns, then the limited figures
	Goals    int          `json:"goals"` // the first of the axes
	Table    int          `json:"table"` // the axes that the table has
	Designs  []int        `json:"designs"`
	Knee     int          `json:"knee"` // index of a design, or −1
	Groups   []group      `json:"groups"`
	Notes    []string     `json:"notes"` // one a design
	Flights  []trajectory `json:"flights"`
	Landings *touchdowns  `json:"landings"` // null where the run has none
	History  growth       `json:"history"`
}

// An axis is one number of all designs.
type axis struct {
	Name   string        `json:"name"`
	Unit   string        `json:"unit"`
	Sense  string        `json:"sense,omitempty"`
	Limit  string        `json:"limit,omitempty"` // in words
	Least  table.Value   `json:"least"`
	Most   table.Value   `json:"most"`
	Values []table.Value `json:"values"`
	Text   []string      `json:"text"`
}

// constants says what has one value in all designs.
func constants(axes []axis) []string {
	var same []string
	for _, a := range axes {
		if len(a.Values) > 0 && !slices.ContainsFunc(a.Values, func(v table.Value) bool { return v != a.Values[0] }) {
			same = append(same, strings.TrimSpace(a.Name+" "+a.Text[0]+" "+a.Unit))
		}
	}
	return same
}

// tableColumns returns the goals, then the other varied quantities.
func (p Page) tableColumns() []table.Quantity {
	columns := slices.Clone(p.Goals)
	for _, q := range p.Varied {
		if !p.isGoal(q.Key) {
			columns = append(columns, q)
		}
	}
	return columns
}

func (p Page) isGoal(key string) bool {
	return slices.ContainsFunc(p.Goals, func(q table.Quantity) bool { return q.Key == key })
}

// axes returns the columns of the page's table, then the figures that limits
// act on.
func (p Page) axes(rows []output.Row) []axis {
	var axes []axis
	columns := p.tableColumns()
	for i, q := range columns {
		values := table.Gather(rows, func(r output.Row) table.Value { return p.Find(r, q.Key) })
		column := text.ColumnOf(q, values)
		if i < len(p.Goals) {
			column = text.GoalColumn(p.Layout, i, rows)
			if p.Confidence > 0 && !strings.Contains(q.Key, ".") {
				values = table.Gather(rows, func(r output.Row) table.Value {
					if r.Goals == nil {
						return table.Value{}
					}
					return r.Goals[i]
				})
			}
		}
		axes = append(axes, p.axis(q, column, values))
	}
	for _, q := range p.Limits {
		listed := func(c table.Quantity) bool { return c.Key == q.Key }
		if !slices.ContainsFunc(columns, listed) && slices.ContainsFunc(p.Figures, listed) {
			values := table.Gather(rows, func(r output.Row) table.Value { return p.Find(r, q.Key) })
			axes = append(axes, p.axis(q, text.ColumnOf(q, values), values))
		}
	}
	return axes
}

func (p Page) axis(q table.Quantity, column text.Column, values []table.Value) axis {
	s := text.Show(q)
	a := axis{
		Name: text.Words(strings.TrimSpace(column.Head[0] + " " + column.Head[1])), Unit: column.Head[2], Text: column.Cells,
		Values: table.Gather(values, func(v table.Value) table.Value { return table.Of(digits(v.Number*s.Scale+s.Offset), v.Applies) }),
	}
	if p.isGoal(q.Key) {
		a.Sense = q.Sense
	}
	if i := slices.IndexFunc(p.Limits, func(l table.Quantity) bool { return l.Key == q.Key }); i >= 0 {
		b := p.Bounds[i]
		a.Limit = b.text(q)
		scaled := func(v table.Value) table.Value { return table.Of(digits(v.Number*s.Scale+s.Offset), v.Applies) }
		a.Least, a.Most = scaled(b.AtLeast), scaled(b.AtMost)
		if b.Size && b.AtMost.Applies {
			a.Least = table.Of(-a.Most.Number, true)
		}
	}
	return a
}

// text says what the limit asks for.
func (b Bound) text(q table.Quantity) string {
	s := text.Show(q)
	text := ""
	switch {
	case b.AtLeast.Applies && b.AtMost.Applies:
		text = s.Value(b.AtLeast) + " to " + s.Value(b.AtMost)
	case b.AtLeast.Applies:
		text = "at least " + s.Value(b.AtLeast)
	default:
		text = "at most " + s.Value(b.AtMost)
	}
	text = strings.TrimSpace(text + " " + s.Unit)
	if b.Size {
		text += " either way"
	}
	return text
}

// A group is a block of the table that tells all of one design.
type group struct {
	Name  string `json:"-"`
	Lines []line `json:"lines"`
}

// A line is one number of all designs, and how far each is from a limit.
type line struct {
	Name     string   `json:"-"`
	Doc      string   `json:"-"`
	Limit    string   `json:"-"`
	Value    []string `json:"value"` // with its unit
	Distance []string `json:"distance,omitempty"`
	Chance   []string `json:"chance,omitempty"`
}

// groups returns what is told of one design: quantities as set, then figures,
// those with limits first.
func (p Page) groups(rows []output.Row) []group {
	set, limited, others := group{Name: "As set"}, group{Name: "Limits"}, group{Name: "Figures"}
	isLimited := func(key string) bool {
		return slices.ContainsFunc(p.Limits, func(l table.Quantity) bool { return l.Key == key })
	}
	for _, q := range p.Varied {
		set.Lines = append(set.Lines, p.line(q, rows))
	}
	for i, q := range p.Limits {
		line := p.line(q, rows)
		if !p.told(q.Key) {
			line.Value = table.Gather(rows, func(output.Row) string { return "as in the brief" })
		}
		line.Limit = p.Bounds[i].text(q)
		line.Distance = table.Gather(rows, func(r output.Row) string { return distance(q, r, i) })
		if p.Confidence > 0 {
			line.Chance = table.Gather(rows, func(r output.Row) string {
				if r.Chances == nil {
					return "not proved"
				}
				return text.Three(r.Chances[i].Share) + ", at least " + text.Three(r.Chances[i].AtLeast)
			})
		}
		limited.Lines = append(limited.Lines, line)
	}
	for _, q := range p.Figures {
		if !isLimited(q.Key) {
			others.Lines = append(others.Lines, p.line(q, rows))
		}
	}
	return slices.DeleteFunc([]group{set, limited, others}, func(g group) bool { return len(g.Lines) == 0 })
}

// told reports whether rows hold a number of that key.
func (p Page) told(key string) bool {
	return slices.ContainsFunc(slices.Concat(p.Varied, p.Figures), func(q table.Quantity) bool { return q.Key == key })
}

func (p Page) line(q table.Quantity, rows []output.Row) line {
	s := text.Show(q)
	return line{Name: text.Words(q.Key), Doc: q.Doc, Value: table.Gather(rows, func(r output.Row) string {
		v := p.Find(r, q.Key)
		unit := s.Unit
		if q.Key == model.Figures[model.Apogee].Key {
			unit = text.FigureUnit(p.Layout, q, v)
		}
		if !v.Applies {
			unit = ""
		}
		return strings.TrimSpace(s.Value(v) + "\u00a0" + unit) // no break between number and unit
	})}
}

// distance says how far row r is from limit i, which is that of q.
func distance(q table.Quantity, r output.Row, i int) string {
	s := r.Slacks[i]
	if !s.Applies {
		return "missed: the flight does not have it"
	}
	text := text.Show(q).Difference(s.Number)
	switch {
	case s.Number < 0:
		text += " missed"
	case slices.Contains(r.Binding, q.Key):
		text += " at its limit"
	}
	return text
}

// note says what sets a design apart, in a sentence or two.
func (p Page) note(r output.Row, knee bool) string {
	var parts []string
	if knee {
		parts = append(parts, "The knee: the best compromise of all goals.")
	}
	if missed := p.Missed(r); len(missed) > 0 {
		parts = append(parts, "Misses "+text.Words(strings.Join(missed, ", "))+".")
	} else if len(r.Binding) > 0 {
		parts = append(parts, "At its limit: "+text.Words(strings.Join(r.Binding, ", "))+".")
	}
	for _, text := range r.Warnings.Texts() {
		parts = append(parts, "Caution: "+text+".")
	}
	return strings.Join(parts, " ")
}

// digits rounds to five significant digits, more than a screen can show.
func digits(v float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 4, 64), 64)
	if err != nil {
		return v
	}
	return rounded
}
