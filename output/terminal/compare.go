package terminal

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
	"ullage/output/text"
	"ullage/output/wording"
)

// Compare returns runs beside each other: what was set, the best of each in each
// goal, what changed in the brief, and which designs are beaten by another's.
func Compare(c *output.Comparison) string {
	var out strings.Builder
	columns := []text.Column{{Head: [3]string{"", "run", ""}, Cells: table.Gather(c.Runs, func(r output.Compared) string { return text.Plain(r.Name, text.TitleLength) })}}
	columns = append(columns, text.Column{Head: [3]string{"", "designs", ""}, Cells: table.Gather(c.Runs, func(r output.Compared) string { return fmt.Sprint(len(r.Rows)) })})
	for i := range c.Goals {
		g := &c.Goals[i]
		best := text.ColumnOf(g.Key, g.Unit, table.Gather(c.Runs, func(r output.Compared) float64 { return bestOf(g, &r) }))
		if best.Head[0] == "" {
			best.Head[0] = "best"
		}
		columns = append(columns, best)
	}
	writeRows(&out, columns, "set", func(i, width int) string {
		return text.Fit(table.Gather(c.Runs[i].Run.Set, func(s string) string { return text.Plain(s, text.TitleLength) }), width, "values")
	}, len(c.Runs))
	for i := range c.Runs[1:] {
		out.WriteString("\n" + wording.ComparedWith(&c.Runs[0], &c.Runs[i+1]) + "\n")
		out.WriteString(text.Folded("  ", wording.Changes(&c.Runs[0], &c.Runs[i+1])...))
	}
	out.WriteString("\n" + text.Folded("", wording.Beaten(c)...))
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

// Best returns the best design with each value of a quantity of b, all as
// answers.BestOfEach has them, a line a value: the goals, then apogee, landing
// speed and drift.
func Best(b *brief.Brief, q *brief.Quantity, all []answers.Best) string {
	rows := table.Gather(all, func(a answers.Best) study.Row { return a.Row })
	columns := []text.Column{
		text.ColumnOf(q.Key, q.Unit, table.Gather(all, func(a answers.Best) float64 { return a.Value })),
		{Head: [3]string{"", "design", ""}, Cells: table.Gather(rows, func(r study.Row) string {
			if r.Design == 0 {
				return "flown"
			}
			return fmt.Sprint(r.Design)
		})},
	}
	shown := []string{q.Key}
	for i := range b.Goals {
		if g := &b.Goals[i]; g.Key != q.Key {
			columns, shown = append(columns, text.ColumnOf(g.Key, g.Unit, table.Gather(rows, func(r study.Row) float64 { return output.NumberOf(b, &g.Metric, &r) }))), append(shown, g.Key)
		}
	}
	for _, id := range []model.Figure{model.Apogee, model.LandingSpeed, model.Drift} {
		if info := model.Figures[id]; !slices.Contains(shown, info.Key) {
			columns = append(columns, text.ColumnOf(info.Key, info.Unit, table.Gather(rows, func(r study.Row) float64 { return r.Figures[id] })))
		}
	}
	var out strings.Builder
	writeRows(&out, columns, "limits", func(i, width int) string {
		words := slices.Clone(all[i].Missed)
		if len(words) > 0 {
			words[0] = wording.Misses + words[0]
		}
		return fitLimits(words, width)
	}, len(all))
	out.WriteString(text.Folded("", fmt.Sprintf("the best %s found with each %s; design is its number in the archive, flown a design of the front that was given the value",
		text.Words(b.Goals[0].Key), text.Words(q.Key))))
	return out.String()
}
