package report

import (
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

// pageData is what the page's script reads. Numbers are in shown units.
type pageData struct {
	Axes     []axis          `json:"axes"`  // the table's columns, then the limited figures
	Goals    int             `json:"goals"` // the first of the axes
	Table    int             `json:"table"` // the axes that the table has
	Designs  []int           `json:"designs"`
	Knee     int             `json:"knee"` // index of a design, or −1
	Groups   []group         `json:"groups"`
	Notes    []string        `json:"notes"`  // one a design
	Sides    []template.HTML `json:"sides"`  // a drawing of each
	Planes   []template.HTML `json:"planes"` // its path
	Flights  []trajectory    `json:"flights"`
	Landings *touchdowns     `json:"landings"` // null where the run has none
	History  growth          `json:"history"`
}

// An axis is one number of all designs; one that is not there is NaN.
type axis struct {
	Name   string         `json:"name"`
	Unit   string         `json:"unit"`
	Sense  string         `json:"sense,omitempty"`
	Limit  string         `json:"limit,omitempty"` // in words
	Words  []string       `json:"words,omitempty"` // the choices, where a value is the place of one, from 1
	Least  table.Number   `json:"least"`
	Most   table.Number   `json:"most"`
	Values []table.Number `json:"values"`
	Text   []string       `json:"text"`
}

// constants says what has one value in all designs, and what none of them has.
func constants(axes []axis) []string {
	var same []string
	for _, a := range axes {
		differs := func(v table.Number) bool { return v != a.Values[0] && !(isNaN(v) && isNaN(a.Values[0])) }
		if len(a.Values) > 0 && !slices.ContainsFunc(a.Values, differs) {
			value := a.Text[0] + " " + a.Unit
			if isNaN(a.Values[0]) {
				value = "none"
			}
			same = append(same, strings.TrimSpace(a.Name+" "+value))
		}
	}
	return same
}

func isNaN(v table.Number) bool { return math.IsNaN(float64(v)) }

// columns returns the goals, then the other varied quantities.
func (p *Page) columns() []brief.Metric {
	var columns []brief.Metric
	for i := range p.brief.Goals {
		columns = append(columns, p.brief.Goals[i].Metric)
	}
	for i := range p.brief.Vary {
		if q := p.brief.Vary[i].Quantity; p.goal(q.Key) == nil {
			columns = append(columns, metricOf(q))
		}
	}
	return columns
}

func metricOf(q *brief.Quantity) brief.Metric {
	return brief.Metric{FigureInfo: model.FigureInfo{Key: q.Key, Unit: q.Unit, Doc: q.Doc}, Quantity: q}
}

// goal returns the goal with a key, nil where there is none; limit the limit.
func (p *Page) goal(key string) *brief.Goal {
	for i := range p.brief.Goals {
		if p.brief.Goals[i].Key == key {
			return &p.brief.Goals[i]
		}
	}
	return nil
}

func (p *Page) limit(key string) *brief.Limit {
	for i := range p.brief.Limits {
		if p.brief.Limits[i].Metric.Key == key {
			return &p.brief.Limits[i]
		}
	}
	return nil
}

// axes returns the columns of the page's table, then the figures that limits
// act on.
func (p *Page) axes() []axis {
	var axes []axis
	columns := p.columns()
	numbers := func(m *brief.Metric) []float64 {
		return table.Gather(p.rows, func(r study.Row) float64 { return output.NumberOf(p.brief, m, &r) })
	}
	for i := range columns {
		m := &columns[i]
		values := numbers(m)
		column := text.ColumnOf(m.Key, m.Unit, values)
		if i < len(p.brief.Goals) {
			values, column = wording.GoalValues(p.brief, i, p.rows), wording.GoalColumn(p.brief, i, p.rows)
		}
		axes = append(axes, p.axis(m, column, values))
	}
	for i := range p.brief.Limits {
		m := &p.brief.Limits[i].Metric
		listed := slices.ContainsFunc(columns, func(c brief.Metric) bool { return c.Key == m.Key })
		if !listed && m.Quantity == nil {
			values := numbers(m)
			axes = append(axes, p.axis(m, text.ColumnOf(m.Key, m.Unit, values), values))
		}
	}
	return axes
}

func (p *Page) axis(m *brief.Metric, column text.Column, values []float64) axis {
	s := text.Show(m.Key, m.Unit)
	shown := func(v float64) table.Number { return table.Number(digits(v*s.Scale + s.Offset)) }
	words, choices := p.words(m)
	if words != nil {
		shown = func(v float64) table.Number { return table.Number(slices.Index(choices, v) + 1) }
	}
	a := axis{
		Words: words,
		Name:  text.Words(strings.TrimSpace(column.Head[0] + " " + column.Head[1])), Unit: column.Head[2], Text: column.Cells,
		Values: table.Gather(values, shown), Least: table.Number(math.NaN()), Most: table.Number(math.NaN()),
	}
	if g := p.goal(m.Key); g != nil {
		a.Sense = g.Describe()
	}
	if l := p.limit(m.Key); l != nil {
		a.Limit = bounds(l)
		if !math.IsInf(l.AtLeast, 0) {
			a.Least = shown(l.AtLeast)
		}
		if !math.IsInf(l.AtMost, 0) {
			a.Most = shown(l.AtMost)
		}
		if l.Size && !isNaN(a.Most) {
			a.Least = -a.Most
		}
	}
	return a
}

// words returns what a metric may be where it is a word, and the numbers of these
// words; nothing where it is a number.
func (p *Page) words(m *brief.Metric) ([]string, []float64) {
	for i := range p.brief.Vary {
		if v := &p.brief.Vary[i]; v.Key == m.Key && v.Names != nil {
			return table.Gather(v.Choices, v.Name), v.Choices
		}
	}
	return nil, nil
}

// bounds says what a limit asks for.
func bounds(l *brief.Limit) string {
	s := text.Show(l.Metric.Key, l.Unit)
	words := ""
	switch {
	case !math.IsInf(l.AtLeast, 0) && !math.IsInf(l.AtMost, 0):
		words = s.Value(l.AtLeast) + " to " + s.Value(l.AtMost)
	case !math.IsInf(l.AtLeast, 0):
		words = "at least " + s.Value(l.AtLeast)
	default:
		words = "at most " + s.Value(l.AtMost)
	}
	words = strings.TrimSpace(words + " " + s.Unit)
	if l.Size {
		words += " either way"
	}
	return words
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
func (p *Page) groups() []group {
	b := p.brief
	set, limited, others := group{Name: "As set"}, group{Name: "Limits"}, group{Name: "Figures"}
	for _, s := range output.Settings(b) {
		m := metricOf(s.Quantity)
		set.Lines = append(set.Lines, p.metricLine(&m))
	}
	for i := range b.Limits {
		limited.Lines = append(limited.Lines, p.limitLine(i))
	}
	for i, info := range study.Figures() {
		if p.limit(info.Key) == nil {
			others.Lines = append(others.Lines, p.line(info, func(r *study.Row) float64 { return r.Figures[i] }))
		}
	}
	return slices.DeleteFunc([]group{set, limited, others}, func(g group) bool { return len(g.Lines) == 0 })
}

// limitLine tells of limit i.
func (p *Page) limitLine(i int) line {
	l := &p.brief.Limits[i]
	of := p.metricLine(&l.Metric)
	varied := slices.ContainsFunc(p.brief.Vary, func(v brief.Vary) bool { return v.Key == l.Metric.Key })
	if l.Quantity != nil && !varied {
		of.Value = table.Gather(p.rows, func(study.Row) string { return "as in the brief" })
	}
	of.Limit = bounds(l)
	if l.Default {
		of.Limit += ", default"
	}
	if l.Class {
		of.Limit += ", of the class"
	}
	of.Distance = table.Gather(p.rows, func(r study.Row) string { return p.distance(&r, i) })
	if p.robust() {
		of.Chance = table.Gather(p.rows, func(r study.Row) string {
			if r.Proof == nil {
				return "not proved"
			}
			return text.Three(r.Proof.Chances[i].Share()) + ", at least " + text.Three(r.Proof.Chances[i].AtLeast())
		})
	}
	return of
}

func (p *Page) robust() bool { return p.brief.Search.Robust.Draws > 0 }

func (p *Page) metricLine(m *brief.Metric) line {
	return p.line(m.FigureInfo, func(r *study.Row) float64 { return output.NumberOf(p.brief, m, r) })
}

func (p *Page) line(info model.FigureInfo, of func(*study.Row) float64) line {
	s := text.Show(info.Key, info.Unit)
	told := line{Name: text.Words(info.Key), Doc: info.Doc}
	for i := range p.rows {
		v, unit := of(&p.rows[i]), s.Unit
		if math.IsNaN(v) {
			unit = ""
		}
		words := strings.TrimSpace(s.Value(v) + "\u00a0" + unit) // no break between number and unit
		if d := p.doubt(i, info.Key); d != nil {
			words += " as modelled; " + wording.Doubt(p.brief, d, s)
		}
		told.Value = append(told.Value, words)
	}
	return told
}

// doubt returns the doubt of a figure of a row, nil where either is not there.
func (p *Page) doubt(row int, key string) *answers.Doubt {
	if row >= len(p.doubts) {
		return nil
	}
	of := p.doubts[row]
	i := slices.IndexFunc(of, func(d answers.Doubt) bool { return model.Figures[d.Figure].Key == key })
	if i >= 0 && !math.IsNaN(p.rows[row].Figures[of[i].Figure]) {
		return &of[i]
	}
	return nil
}

// distance says how far a row is from limit i.
func (p *Page) distance(r *study.Row, i int) string {
	l, slack := &p.brief.Limits[i], r.Slacks[i]
	if math.IsNaN(slack) {
		return "missed: the flight does not have it"
	}
	words := text.Show(l.Metric.Key, l.Unit).Difference(slack)
	switch {
	case slack < 0:
		words += " missed"
	case l.Binding(slack):
		words += " at its limit"
	}
	return words
}

// note says what sets a design apart, in a sentence or two.
func (p *Page) note(r *study.Row, knee bool) string {
	var parts []string
	if knee {
		parts = append(parts, "The knee: the best compromise of all goals.")
	}
	if missed := r.Missed(p.brief); len(missed) > 0 {
		parts = append(parts, "Misses "+text.Words(strings.Join(missed, ", "))+".")
	} else if binding := r.Binding(p.brief); len(binding) > 0 {
		parts = append(parts, "At its limit: "+text.Words(strings.Join(binding, ", "))+".")
	}
	for _, words := range r.Warnings.Texts() {
		parts = append(parts, "Caution: "+words+".")
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
