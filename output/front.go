package output

import (
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/runs"
	"ullage/output/table"
)

// Front returns the table of a front's rows, in the order given: design, every
// varied quantity, figure and slack, the proofs of a robust search, the doubts
// of the first rows, null in the others, then binding, knee, feasible and
// warnings, and at last what all rows share: every quantity that is not varied,
// and the brief's hash.
func Front(b *brief.Brief, rows []study.Row, doubts [][]answers.Doubt) table.Table {
	var t table.Table
	add := func(c table.Column) { t.Columns = append(t.Columns, c) }
	add(identity("design", "number of the design in this run", table.Gather(rows, func(r study.Row) int32 { return int32(r.Design) })))
	for _, s := range Settings(b) {
		c := s.column(b, len(rows))
		for i := range rows {
			s.put(&c, i, rows[i].X)
		}
		add(c)
	}
	for i, info := range study.Figures() {
		c := column(b, table.Figure, info.Key, info.Unit, info.Doc)
		c.Values = nullable(rows, info.Unit, func(r study.Row) float64 { return r.Figures[i] })
		add(c)
	}
	for i := range b.Limits {
		c := slackColumn(&b.Limits[i])
		c.Values = nullable(rows, b.Limits[i].Unit, func(r study.Row) float64 { return r.Slacks[i] })
		add(c)
	}
	for _, c := range slices.Concat(proofs(b, rows), doubtColumns(len(rows), doubts)) {
		add(c)
	}
	add(identity("binding", "limits within 1 % of their bound", table.Gather(rows, func(r study.Row) []string { return r.Binding(b) })))
	add(identity("knee", "the front's best compromise", table.Gather(rows, func(r study.Row) bool { return r.Design == 1 })))
	add(identity("feasible", "meets every limit", table.Gather(rows, func(r study.Row) bool { return r.Kept(b) })))
	add(identity("warnings", "reasons why the figures lie outside the model's domain",
		table.Gather(rows, func(r study.Row) []string { return r.Warnings.Keys() })))
	t.Columns = append(t.Columns, fixed(b, len(rows))...)
	add(identity("brief_sha256", "SHA-256 of the brief's bytes, in hex", slices.Repeat([]string{runs.Hash(b.Source)}, len(rows))))
	return t
}

// fixed returns a column for each settable number that is not varied, so many
// rows of its value: tables of runs that vary other things have the same columns.
// What most briefs leave out is in those that have it.
func fixed(b *brief.Brief, rows int) []table.Column {
	var columns []table.Column
	for _, q := range brief.Quantities() {
		if differs(b, q.Key) || q.OfSome() && b.Rocket.Recovery.Mass == 0 {
			continue
		}
		c := table.Column{Name: table.ColumnName(q.Key, q.Unit), Unit: table.Unit(q.Unit), Role: table.Fixed, Doc: q.Doc}
		c.Values = slices.Repeat(table.Nullable{table.Written(q.There(&b.Rocket, &b.Site), q.Unit)}, rows)
		columns = append(columns, c)
	}
	return columns
}

// proofs returns the columns of a robust search: each goal over the flights
// under scatter, and the chance of keeping each limit.
func proofs(b *brief.Brief, rows []study.Row) []table.Column {
	if b.Search.Robust.Draws == 0 {
		return nil
	}
	var columns []table.Column
	number := func(name, unit, doc string, value func(p *study.Proof) float64) {
		columns = append(columns, table.Column{
			Name: name, Unit: table.Unit(unit), Role: table.Figure, Doc: doc,
			Values: nullable(rows, unit, func(r study.Row) float64 {
				if r.Proof == nil {
					return math.NaN()
				}
				return value(r.Proof)
			}),
		})
	}
	for i := range b.Goals {
		g := &b.Goals[i]
		number(sumName(g), g.Unit, "goal over the flights under scatter: "+Summed(g)+" of "+g.Key,
			func(p *study.Proof) float64 { return g.Natural(p.Goals[i]) })
	}
	for i := range b.Limits {
		key := b.Limits[i].Metric.Key
		number(chanceName(key), "1", "share of the flights under scatter that keep the limit on "+key,
			func(p *study.Proof) float64 { return p.Chances[i].Share() })
		number(leastName(key), "1", "lower bound on the chance of keeping the limit on "+key,
			func(p *study.Proof) float64 { return p.Chances[i].AtLeast() })
		number(shownName(&b.Limits[i]), b.Limits[i].Unit, "distance of "+key+" to its limit that is kept with the confidence",
			func(p *study.Proof) float64 { return p.Shown[i] })
	}
	number(chanceName("all"), "1", "share of the flights under scatter that keep every limit", func(p *study.Proof) float64 { return p.All.Share() })
	number(leastName("all"), "1", "lower bound on the chance of keeping every limit", func(p *study.Proof) float64 { return p.All.AtLeast() })
	number(proofFlights, "1", "independent flights under scatter that the chances count", func(p *study.Proof) float64 { return float64(p.All.Flights) })
	return columns
}

// Summed says what stands for a goal in a robust search: "mean", "p10"; a goal
// that is aimed for counts by how far it is off.
func Summed(g *brief.Goal) string {
	if g.Sense == brief.Nearest {
		return g.As.String() + " off"
	}
	return g.As.String()
}

func sumName(g *brief.Goal) string {
	return table.ColumnName(strings.ReplaceAll(Summed(g), " ", "_")+"_"+g.Key, g.Unit)
}

func chanceName(key string) string { return "chance_" + table.ColumnName(key, "1") }

func leastName(key string) string { return "chance_least_" + table.ColumnName(key, "1") }

func shownName(l *brief.Limit) string { return "shown_" + SlackName(l) }

const proofFlights = "proof_flights"

// SlackName returns the column name of the distance to a limit.
func SlackName(l *brief.Limit) string { return "slack_" + table.ColumnName(l.Metric.Key, l.Unit) }

// NumberOf returns the number of a metric in a row of b, in SI: NaN where the
// flight has none, and of a quantity that is not varied.
func NumberOf(b *brief.Brief, m *brief.Metric, r *study.Row) float64 {
	if m.Quantity == nil {
		return r.Figures[m.Figure]
	}
	for _, s := range Settings(b) {
		if s.Key == m.Key {
			return s.Of(r.X)
		}
	}
	return math.NaN()
}

// NumberThere returns the number of a metric in a row of b, in SI, also of a quantity
// that is not varied; NaN where there is none.
func NumberThere(b *brief.Brief, m *brief.Metric, r *study.Row) float64 {
	if m.Quantity == nil {
		return r.Figures[m.Figure]
	}
	rocket, site := b.At(r.X)
	return m.Quantity.There(&rocket, &site)
}

// Everywhere lists the limits that bind in every one of several rows: they
// tell no design from another.
func Everywhere(b *brief.Brief, rows []study.Row) []string {
	if len(rows) < 2 {
		return nil
	}
	return slices.DeleteFunc(rows[0].Binding(b), func(key string) bool {
		return slices.ContainsFunc(rows, func(r study.Row) bool { return !slices.Contains(r.Binding(b), key) })
	})
}

// column describes a number without its values; a goal takes that role wherever
// it stands, so that no number is written twice.
func column(b *brief.Brief, role table.Role, key, unit, doc string) table.Column {
	c := table.Column{Name: table.ColumnName(key, unit), Unit: table.Unit(unit), Role: role, Doc: doc}
	for i := range b.Goals {
		if b.Goals[i].Key == key {
			c.Role, c.Sense = table.Goal, b.Goals[i].Describe()
		}
	}
	for i := range b.Limits {
		if l := &b.Limits[i]; l.Metric.Key == key {
			c.Limit = table.Bounds(l.AtLeast, l.AtMost, l.Size, l.Unit)
		}
	}
	return c
}

func slackColumn(l *brief.Limit) table.Column {
	return table.Column{
		Name: SlackName(l), Unit: table.Unit(l.Unit), Role: table.Slack,
		Sense: table.Bounds(l.AtLeast, l.AtMost, l.Size, l.Unit),
		Doc:   "distance of " + l.Metric.Key + " to its limit, positive inside",
	}
}

func identity(name, doc string, values any) table.Column {
	return table.Column{Name: name, Unit: "1", Role: table.Identity, Doc: doc, Values: values}
}

// figure describes a figure of a flight without its values.
func figure(info model.FigureInfo) table.Column {
	return table.Column{Name: table.ColumnName(info.Key, info.Unit), Unit: table.Unit(info.Unit), Role: table.Figure, Doc: info.Doc}
}

// nullable returns one number of each row as files state it, from SI.
func nullable[R any](rows []R, unit string, value func(R) float64) table.Nullable {
	return table.Gather(rows, func(r R) float64 { return table.Written(value(r), unit) })
}
