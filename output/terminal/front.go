package terminal

import (
	"fmt"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

// Front returns a front of b as a table for a terminal, in the order given:
// design number, goals, varied quantities and the limits that bind, of at most
// n designs. Designs that miss limits are marked with them; limits that bind
// in every row are said once, below, where what does not fit is counted too, and
// the default limits that are not judged are named.
func Front(b *brief.Brief, rows []study.Row, n int) string {
	some := rows[:min(n, len(rows))]
	always := output.Everywhere(b, rows)
	columns, left := columns(b, some)
	var out strings.Builder
	writeRows(&out, columns, "limits", func(i, width int) string { return fitLimits(marked(b, wording.LimitWords(b, &some[i], always)), width) }, len(some))
	if left > 0 {
		fmt.Fprintf(&out, "and %d more quantities in front.parquet\n", left)
	}
	if more := len(rows) - len(some); more > 0 {
		fmt.Fprintf(&out, "and %d more in front.parquet\n", more)
	}
	if len(rows) > 1 && rows[0].Design == 1 && len(rows[0].Missed(b)) == 0 {
		out.WriteString("design 1 is the knee, the best compromise of all goals\n")
	}
	if len(always) > 0 {
		const every = "at its limit in every design: "
		out.WriteString(every + text.Fit(marked(b, always), text.LineWidth-len(every), "limits") + "\n")
	}
	if strings.Contains(out.String(), defaultMark) {
		out.WriteString(defaultMark + " a default limit: the brief does not write it\n")
	}
	if strings.Contains(out.String(), classMark) {
		out.WriteString(classMark + " a limit of the class: " + wording.ClassName(b) + "\n")
	}
	out.WriteString(wording.NotJudged(b))
	return out.String()
}

// limitWidth is kept free for the names of binding or missed limits.
const limitWidth = 24

// columns returns the columns that fit, and how many do not.
func columns(b *brief.Brief, rows []study.Row) (columns []text.Column, left int) {
	all := []text.Column{{Head: [3]string{"", "design", ""}, Cells: table.Gather(rows, func(r study.Row) string {
		return fmt.Sprint(r.Design)
	})}}
	for i := range b.Goals {
		all = append(all, wording.GoalColumn(b, i, rows))
	}
	for i := range b.Vary {
		v := &b.Vary[i]
		if !slices.ContainsFunc(b.Goals, func(g brief.Goal) bool { return g.Key == v.Key }) {
			all = append(all, text.ColumnOf(v.Key, v.Unit, table.Gather(rows, func(r study.Row) float64 { return r.X[i] })))
		}
	}
	used := 0
	for i, c := range all {
		used += widthOf(c) + 2
		if used > text.LineWidth-limitWidth {
			return all[:i], len(all) - i
		}
	}
	return all, 0
}
