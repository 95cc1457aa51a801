package text

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/table"
)

// LineWidth is the most that a line of Front may take: terminals and mail
// show 100 columns without wrapping.
const LineWidth = 100

// limitWidth is kept free for the names of binding or missed limits.
const limitWidth = 24

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
	writeRows(&out, columns, "limits", func(i int) []string { return marked(b, LimitWords(b, &some[i], always)) }, len(some))
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
		out.WriteString(every + fit(marked(b, always), LineWidth-len(every)) + "\n")
	}
	if strings.Contains(out.String(), defaultMark) {
		out.WriteString(defaultMark + " a default limit: the brief does not write it\n")
	}
	if strings.Contains(out.String(), classMark) {
		out.WriteString(classMark + " a limit of the class: " + ClassName(b) + "\n")
	}
	out.WriteString(NotJudged(b))
	return out.String()
}

// writeRows writes columns under their headings, and behind them words that
// have a heading of their own.
func writeRows(out *strings.Builder, columns []Column, heading string, words func(i int) []string, n int) {
	for line := range 3 {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.Head[line])
		}
		if line == 1 {
			text += heading
		}
		if text = strings.TrimRight(text, " "); text != "" {
			out.WriteString(text + "\n")
		}
	}
	for i := range n {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.Cells[i])
		}
		text += fit(words(i), LineWidth-utf8.RuneCountInString(text))
		out.WriteString(strings.TrimRight(text, " ") + "\n")
	}
}

// A Column is one column of numbers under a heading of three lines:
// section, name, unit.
type Column struct {
	Head  [3]string
	Cells []string
	width int
}

// columns returns the columns that fit, and how many do not.
func columns(b *brief.Brief, rows []study.Row) (columns []Column, left int) {
	all := []Column{NewColumn([3]string{"", "design", ""}, table.Gather(rows, func(r study.Row) string {
		return fmt.Sprint(r.Design)
	}))}
	for i := range b.Goals {
		all = append(all, GoalColumn(b, i, rows))
	}
	for i := range b.Vary {
		v := &b.Vary[i]
		if !slices.ContainsFunc(b.Goals, func(g brief.Goal) bool { return g.Key == v.Key }) {
			all = append(all, ColumnOf(v.Key, v.Unit, table.Gather(rows, func(r study.Row) float64 { return r.X[i] })))
		}
	}
	used := 0
	for i, c := range all {
		used += c.width + 2
		if used > LineWidth-limitWidth {
			return all[:i], len(all) - i
		}
	}
	return all, 0
}

// ColumnOf returns the column of a number of an SI unit.
func ColumnOf(key, unit string, values []float64) Column {
	section, name, dotted := strings.Cut(key, ".")
	if !dotted {
		section, name = "", key
	}
	s := Show(key, unit)
	return NewColumn([3]string{section, name, s.Unit}, table.Gather(values, s.Value))
}

func NewColumn(head [3]string, cells []string) Column {
	c := Column{Head: head, Cells: cells}
	for _, text := range slices.Concat(cells, head[:]) {
		c.width = max(c.width, utf8.RuneCountInString(text))
	}
	return c
}

const missesWord = "misses " // before the first limit that a design misses

// LimitWords lists the limits that matter to a row: those it misses, else
// those that bind, but for what binds in every row.
func LimitWords(b *brief.Brief, r *study.Row, always []string) []string {
	if missed := r.Missed(b); len(missed) > 0 {
		missed[0] = missesWord + missed[0]
		return missed
	}
	if r.Proof != nil {
		return missedBySome(b, r.Proof)
	}
	return slices.DeleteFunc(r.Binding(b), func(key string) bool { return slices.Contains(always, key) })
}

// fit joins words within a width; those that have no room become a count.
func fit(words []string, width int) string {
	for n := len(words); n > 0; n-- {
		text := strings.Join(words[:n], ", ")
		if n < len(words) {
			text += fmt.Sprintf(" +%d", len(words)-n)
		}
		if utf8.RuneCountInString(text) <= width {
			return text
		}
	}
	if len(words) == 0 {
		return ""
	}
	return fmt.Sprintf("%d limits", len(words))
}

// GoalColumn is the column of goal i of b in a text: of a robust search as it is
// summed up, but for a quantity, which is as set in every flight.
func GoalColumn(b *brief.Brief, i int, rows []study.Row) Column {
	g := &b.Goals[i]
	c := ColumnOf(g.Key, g.Unit, GoalValues(b, i, rows))
	if summedUp(b, g) {
		return NewColumn([3]string{output.Summed(g), c.Head[1], c.Head[2]}, c.Cells)
	}
	return c
}

// GoalValues returns what GoalColumn shows, in SI: NaN where it is not there.
func GoalValues(b *brief.Brief, i int, rows []study.Row) []float64 {
	g := &b.Goals[i]
	return table.Gather(rows, func(r study.Row) float64 {
		switch {
		case !summedUp(b, g):
			return output.NumberOf(b, &g.Metric, &r)
		case r.Proof == nil:
			return math.NaN()
		}
		return g.Natural(r.Proof.Goals[i])
	})
}

func summedUp(b *brief.Brief, g *brief.Goal) bool {
	return b.Search.Robust.Draws > 0 && g.Quantity == nil
}

// missedBySome lists the limits that some flights of a proof miss, the least
// kept first.
func missedBySome(b *brief.Brief, p *study.Proof) []string {
	var at []int
	for i, c := range p.Chances {
		if c.Met < c.Flights {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(i, k int) int { return cmp.Compare(p.Chances[i].Share(), p.Chances[k].Share()) })
	return table.Gather(at, func(i int) string { return b.Limits[i].Metric.Key })
}
