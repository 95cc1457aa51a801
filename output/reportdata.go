package output

import (
	"slices"
	"strconv"
	"strings"

	"ullage/model"
)

// reportData is what the page's script reads. Numbers are in shown units.
type reportData struct {
	Axes     []reportAxis    `json:"axes"`  // the table's columns, then the limited figures
	Goals    int             `json:"goals"` // the first of the axes
	Table    int             `json:"table"` // the axes that the table has
	Designs  []int           `json:"designs"`
	Knee     int             `json:"knee"` // index of a design, or −1
	Groups   []reportGroup   `json:"groups"`
	Notes    []string        `json:"notes"` // one a design
	Flights  []reportFlight  `json:"flights"`
	Landings *reportLandings `json:"landings"` // null where the run has none
	History  reportHistory   `json:"history"`
}

// A reportAxis is one number of all designs.
type reportAxis struct {
	Name   string   `json:"name"`
	Unit   string   `json:"unit"`
	Sense  string   `json:"sense,omitempty"`
	Limit  string   `json:"limit,omitempty"` // in words
	Least  Value    `json:"least"`
	Most   Value    `json:"most"`
	Values []Value  `json:"values"`
	Text   []string `json:"text"`
}

// constants says what has one value in all designs.
func constants(axes []reportAxis) []string {
	var same []string
	for _, a := range axes {
		if len(a.Values) > 0 && !slices.ContainsFunc(a.Values, func(v Value) bool { return v != a.Values[0] }) {
			same = append(same, strings.TrimSpace(a.Name+" "+a.Text[0]+" "+a.Unit))
		}
	}
	return same
}

// tableColumns returns the goals, then the other varied quantities.
func (p Report) tableColumns() []Quantity {
	columns := slices.Clone(p.Goals)
	for _, q := range p.Varied {
		if !p.isGoal(q.Key) {
			columns = append(columns, q)
		}
	}
	return columns
}

func (p Report) isGoal(key string) bool {
	return slices.ContainsFunc(p.Goals, func(q Quantity) bool { return q.Key == key })
}

// axes returns the columns of the page's table, then the figures that limits
// act on.
func (p Report) axes(rows []Row) []reportAxis {
	var axes []reportAxis
	columns := p.tableColumns()
	for i, q := range columns {
		values := gather(rows, func(r Row) Value { return p.find(r, q.Key) })
		text := p.textColumn(q, values)
		if i < len(p.Goals) {
			text = p.goalColumn(i, rows)
			if p.Confidence > 0 && !strings.Contains(q.Key, ".") {
				values = gather(rows, func(r Row) Value {
					if r.Goals == nil {
						return Value{}
					}
					return r.Goals[i]
				})
			}
		}
		axes = append(axes, p.axis(q, text, values))
	}
	for _, q := range p.Limits {
		listed := func(c Quantity) bool { return c.Key == q.Key }
		if !slices.ContainsFunc(columns, listed) && slices.ContainsFunc(p.Figures, listed) {
			values := gather(rows, func(r Row) Value { return p.find(r, q.Key) })
			axes = append(axes, p.axis(q, p.textColumn(q, values), values))
		}
	}
	return axes
}

func (p Report) axis(q Quantity, text textColumn, values []Value) reportAxis {
	s := display(q)
	a := reportAxis{
		Name: plain(strings.TrimSpace(text.head[0] + " " + text.head[1])), Unit: text.head[2], Text: text.cells,
		Values: gather(values, func(v Value) Value { return Of(digits(v.Number*s.scale+s.offset), v.Applies) }),
	}
	if p.isGoal(q.Key) {
		a.Sense = q.Sense
	}
	if i := slices.IndexFunc(p.Limits, func(l Quantity) bool { return l.Key == q.Key }); i >= 0 {
		b := p.Bounds[i]
		a.Limit = b.text(q)
		scaled := func(v Value) Value { return Of(digits(v.Number*s.scale+s.offset), v.Applies) }
		a.Least, a.Most = scaled(b.AtLeast), scaled(b.AtMost)
		if b.Size && b.AtMost.Applies {
			a.Least = Of(-a.Most.Number, true)
		}
	}
	return a
}

// text says what the limit asks for.
func (b Bound) text(q Quantity) string {
	s := display(q)
	text := ""
	switch {
	case b.AtLeast.Applies && b.AtMost.Applies:
		text = s.value(b.AtLeast) + " to " + s.value(b.AtMost)
	case b.AtLeast.Applies:
		text = "at least " + s.value(b.AtLeast)
	default:
		text = "at most " + s.value(b.AtMost)
	}
	text = strings.TrimSpace(text + " " + s.unit)
	if b.Size {
		text += " either way"
	}
	return text
}

// A reportGroup is a block of the table that tells all of one design.
type reportGroup struct {
	Name  string       `json:"-"`
	Lines []reportLine `json:"lines"`
}

// A reportLine is one number of all designs, and how far each is from a limit.
type reportLine struct {
	Name     string   `json:"-"`
	Doc      string   `json:"-"`
	Limit    string   `json:"-"`
	Value    []string `json:"value"` // with its unit
	Distance []string `json:"distance,omitempty"`
	Chance   []string `json:"chance,omitempty"`
}

// groups returns what is told of one design: quantities as set, then figures,
// those with limits first.
func (p Report) groups(rows []Row) []reportGroup {
	set, limited, others := reportGroup{Name: "As set"}, reportGroup{Name: "Limits"}, reportGroup{Name: "Figures"}
	isLimited := func(key string) bool {
		return slices.ContainsFunc(p.Limits, func(l Quantity) bool { return l.Key == key })
	}
	for _, q := range p.Varied {
		set.Lines = append(set.Lines, p.line(q, rows))
	}
	for i, q := range p.Limits {
		line := p.line(q, rows)
		if !p.told(q.Key) {
			line.Value = gather(rows, func(Row) string { return "as in the brief" })
		}
		line.Limit = p.Bounds[i].text(q)
		line.Distance = gather(rows, func(r Row) string { return distance(q, r, i) })
		if p.Confidence > 0 {
			line.Chance = gather(rows, func(r Row) string {
				if r.Chances == nil {
					return "not proved"
				}
				return three(r.Chances[i].Share) + ", at least " + three(r.Chances[i].AtLeast)
			})
		}
		limited.Lines = append(limited.Lines, line)
	}
	for _, q := range p.Figures {
		if !isLimited(q.Key) {
			others.Lines = append(others.Lines, p.line(q, rows))
		}
	}
	return slices.DeleteFunc([]reportGroup{set, limited, others}, func(g reportGroup) bool { return len(g.Lines) == 0 })
}

// told reports whether rows hold a number of that key.
func (p Report) told(key string) bool {
	return slices.ContainsFunc(slices.Concat(p.Varied, p.Figures), func(q Quantity) bool { return q.Key == key })
}

func (p Report) line(q Quantity, rows []Row) reportLine {
	s := display(q)
	return reportLine{Name: plain(q.Key), Doc: q.Doc, Value: gather(rows, func(r Row) string {
		v := p.find(r, q.Key)
		unit := s.unit
		if q.Key == model.Figures[model.Apogee].Key {
			unit = p.figureUnit(q, v)
		}
		if !v.Applies {
			unit = ""
		}
		return strings.TrimSpace(s.value(v) + "\u00a0" + unit) // no break between number and unit
	})}
}

// distance says how far row r is from limit i, which is that of q.
func distance(q Quantity, r Row, i int) string {
	s := r.Slacks[i]
	if !s.Applies {
		return "missed: the flight does not have it"
	}
	text := display(q).difference(s.Number)
	switch {
	case s.Number < 0:
		text += " missed"
	case slices.Contains(r.Binding, q.Key):
		text += " at its limit"
	}
	return text
}

// note says what sets a design apart, in a sentence or two.
func (p Report) note(r Row, knee bool) string {
	var parts []string
	if knee {
		parts = append(parts, "The knee: the best compromise of all goals.")
	}
	if missed := p.Missed(r); len(missed) > 0 {
		parts = append(parts, "Misses "+plain(strings.Join(missed, ", "))+".")
	} else if len(r.Binding) > 0 {
		parts = append(parts, "At its limit: "+plain(strings.Join(r.Binding, ", "))+".")
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
