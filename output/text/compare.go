package text

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
)

// Compare returns runs beside each other: what was set, the best of each in each
// goal, what changed in the brief, and which designs are beaten by another's.
func Compare(c *output.Comparison) string {
	var out strings.Builder
	columns := []Column{NewColumn([3]string{"", "run", ""}, table.Gather(c.Runs, func(r output.Compared) string { return Plain(r.Name, TitleLength) }))}
	columns = append(columns, NewColumn([3]string{"", "designs", ""}, table.Gather(c.Runs, func(r output.Compared) string { return fmt.Sprint(len(r.Rows)) })))
	for i := range c.Goals {
		g := &c.Goals[i]
		best := ColumnOf(g.Key, g.Unit, table.Gather(c.Runs, func(r output.Compared) float64 { return bestOf(g, &r) }))
		if best.Head[0] == "" {
			best.Head[0] = "best"
		}
		columns = append(columns, NewColumn(best.Head, best.Cells))
	}
	writeRows(&out, columns, "set", func(i int) []string {
		return table.Gather(c.Runs[i].Run.Set, func(s string) string { return Plain(s, TitleLength) })
	}, len(c.Runs))
	for i := range c.Runs[1:] {
		out.WriteString("\n" + ComparedWith(&c.Runs[0], &c.Runs[i+1]) + "\n")
		out.WriteString(Folded("  ", ChangeLines(&c.Runs[0], &c.Runs[i+1])...))
	}
	out.WriteString("\n" + Folded("", BeatenLines(c)...))
	return out.String()
}

// bestOf returns the best number of a goal among the designs of a run that keep
// its limits, in SI; NaN where none does.
func bestOf(g *brief.Goal, r *output.Compared) float64 {
	best := math.NaN()
	for i := range r.Rows {
		v := r.Number(&g.Metric, &r.Rows[i])
		if r.Rows[i].Kept(r.Brief) && (math.IsNaN(best) || g.Minimised(v) < g.Minimised(best)) {
			best = v
		}
	}
	return best
}

// ComparedWith says whose briefs ChangeLines sets beside each other.
func ComparedWith(a, b *output.Compared) string {
	return fmt.Sprintf("in the brief of %s, beside that of %s:", Plain(b.Name, TitleLength), Plain(a.Name, TitleLength))
}

// ChangeLines says what the brief of b has that differs from that of a, a key a
// line.
func ChangeLines(a, b *output.Compared) []string {
	changes := brief.Changes(a.Brief, b.Brief)
	if len(changes) == 0 {
		return []string{"nothing differs"}
	}
	shown := func(s string) string {
		if s == "" {
			return "not there"
		}
		return Plain(s, TitleLength)
	}
	return table.Gather(changes, func(c brief.Change) string {
		return fmt.Sprintf("%s: %s, there %s", Plain(c.Key, TitleLength), shown(c.Now), shown(c.Was))
	})
}

// BeatenLines says of each run which of its designs which other runs beat.
func BeatenLines(c *output.Comparison) []string {
	goals := Words(strings.Join(table.Gather(c.Goals, func(g brief.Goal) string { return g.Key + " " + g.Describe() }), ", "))
	lines := []string{"better in a goal and worse in none (" + goals + "), as set:"}
	for i := range c.Runs {
		of := &c.Runs[i]
		for k := range c.Runs {
			var beaten []string
			for row, b := range of.Beaten {
				if b.Run == k {
					beaten = append(beaten, fmt.Sprint(of.Rows[row].Design))
				}
			}
			if len(beaten) > 0 {
				lines = append(lines, fmt.Sprintf("%s beats %d of the %d designs of %s: %s", Plain(c.Runs[k].Name, TitleLength), len(beaten),
					len(of.Rows), Plain(of.Name, TitleLength), fit(beaten, LineWidth)))
			}
		}
		if !slices.ContainsFunc(of.Beaten, func(b output.Beater) bool { return b.Run >= 0 }) {
			lines = append(lines, fmt.Sprintf("no design of %s is beaten", Plain(of.Name, TitleLength)))
		}
	}
	return lines
}

// Best returns the best design with each value of a quantity, a line a value:
// the goals, then apogee, landing speed and drift.
func Best(b *brief.Brief, q *brief.Quantity, all []answers.Best) string {
	rows := table.Gather(all, func(a answers.Best) study.Row { return a.Row })
	columns := []Column{
		ColumnOf(q.Key, q.Unit, table.Gather(all, func(a answers.Best) float64 { return a.Value })),
		NewColumn([3]string{"", "design", ""}, table.Gather(rows, func(r study.Row) string {
			if r.Design == 0 {
				return "flown"
			}
			return fmt.Sprint(r.Design)
		})),
	}
	shown := []string{q.Key}
	for i := range b.Goals {
		if g := &b.Goals[i]; g.Key != q.Key {
			columns, shown = append(columns, ColumnOf(g.Key, g.Unit, table.Gather(rows, func(r study.Row) float64 { return output.NumberOf(b, &g.Metric, &r) }))), append(shown, g.Key)
		}
	}
	for _, id := range []model.Figure{model.Apogee, model.LandingSpeed, model.Drift} {
		if info := model.Figures[id]; !slices.Contains(shown, info.Key) {
			columns = append(columns, ColumnOf(info.Key, info.Unit, table.Gather(rows, func(r study.Row) float64 { return r.Figures[id] })))
		}
	}
	var out strings.Builder
	writeRows(&out, columns, "limits", func(i int) []string {
		words := slices.Clone(all[i].Missed)
		if len(words) > 0 {
			words[0] = missesWord + words[0]
		}
		return words
	}, len(all))
	out.WriteString(Folded("", fmt.Sprintf("the best %s there is with each %s; design is its number in the archive, flown a design of the front that was given the value",
		Words(b.Goals[0].Key), Words(q.Key))))
	return out.String()
}
