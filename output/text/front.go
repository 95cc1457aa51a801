package text

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"ullage/output"
	"ullage/output/table"
)

// LineWidth is the most that a line of Front may take: terminals and mail
// show 100 columns without wrapping.
const LineWidth = 100

// limitWidth is kept free for the names of binding or missed limits.
const limitWidth = 24

// Front returns the front as a table for a terminal, in the order given:
// design number, goals, varied quantities and the limits that bind, of at most
// n designs. Designs that miss limits are marked with them; limits that bind
// in every row are said once, below, where what does not fit is counted too.
func Front(l output.Layout, rows []output.Row, n int) string {
	some := rows[:min(n, len(rows))]
	always := output.Everywhere(rows)
	columns, left := columns(l, some)
	var b strings.Builder
	for line := range 3 {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.Head[line])
		}
		if line == 1 {
			text += "limits"
		}
		if text = strings.TrimRight(text, " "); text != "" {
			b.WriteString(text + "\n")
		}
	}
	for i, r := range some {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.Cells[i])
		}
		text += fit(LimitWords(l, r, always), LineWidth-len(text))
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	if left > 0 {
		fmt.Fprintf(&b, "and %d more quantities in front.parquet\n", left)
	}
	if more := len(rows) - len(some); more > 0 {
		fmt.Fprintf(&b, "and %d more in front.parquet\n", more)
	}
	if len(rows) > 1 && rows[0].Knee && len(l.Missed(rows[0])) == 0 {
		b.WriteString("design 1 is the knee, the best compromise of all goals\n")
	}
	if len(always) > 0 {
		const every = "at its limit in every design: "
		b.WriteString(every + fit(always, LineWidth-len(every)) + "\n")
	}
	return b.String()
}

// A Column is one column of numbers under a heading of three lines:
// section, name, unit.
type Column struct {
	Head  [3]string
	Cells []string
	width int
}

// columns returns the columns that fit, and how many do not.
func columns(l output.Layout, rows []output.Row) (columns []Column, left int) {
	all := []Column{NewColumn([3]string{"", "design", ""}, table.Gather(rows, func(r output.Row) string {
		return fmt.Sprint(r.Design)
	}))}
	goals := map[string]bool{}
	for i, q := range l.Goals {
		goals[q.Key] = true
		all = append(all, GoalColumn(l, i, rows))
	}
	for i, q := range l.Varied {
		if !goals[q.Key] {
			all = append(all, ColumnOf(q, table.Gather(rows, func(r output.Row) table.Value { return table.Of(r.X[i], true) })))
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

func ColumnOf(q table.Quantity, values []table.Value) Column {
	section, name, dotted := strings.Cut(q.Key, ".")
	if !dotted {
		section, name = "", q.Key
	}
	s := Show(q)
	return NewColumn([3]string{section, name, s.Unit}, table.Gather(values, s.Value))
}

func NewColumn(head [3]string, cells []string) Column {
	c := Column{Head: head, Cells: cells}
	for _, text := range slices.Concat(cells, head[:]) {
		c.width = max(c.width, utf8.RuneCountInString(text))
	}
	return c
}

// LimitWords lists the limits that matter to a row: those it misses, else
// those that bind, but for what binds in every row.
func LimitWords(l output.Layout, r output.Row, always []string) []string {
	if missed := l.Missed(r); len(missed) > 0 {
		missed[0] = "misses " + missed[0]
		return missed
	}
	if r.Chances != nil {
		return missedBySome(l, r)
	}
	return slices.DeleteFunc(slices.Clone(r.Binding), func(key string) bool { return slices.Contains(always, key) })
}

// fit joins words within a width; those that have no room become a count.
func fit(words []string, width int) string {
	for n := len(words); n > 0; n-- {
		text := strings.Join(words[:n], ", ")
		if n < len(words) {
			text += fmt.Sprintf(" +%d", len(words)-n)
		}
		if len(text) <= width {
			return text
		}
	}
	if len(words) == 0 {
		return ""
	}
	return fmt.Sprintf("%d limits", len(words))
}

// GoalColumn is the column of goal i in a text: of a robust search as it is
// summed up, but for a quantity, which is as set in every flight.
func GoalColumn(l output.Layout, i int, rows []output.Row) Column {
	q := l.Goals[i]
	if l.Confidence == 0 || strings.Contains(q.Key, ".") {
		return ColumnOf(q, table.Gather(rows, func(r output.Row) table.Value { return l.Find(r, q.Key) }))
	}
	c := ColumnOf(q, table.Gather(rows, func(r output.Row) table.Value {
		if r.Goals == nil {
			return table.Value{}
		}
		return r.Goals[i]
	}))
	return NewColumn([3]string{l.Summed[i], c.Head[1], c.Head[2]}, c.Cells)
}

// missedBySome lists the limits that some flights of a row miss, the least kept
// first.
func missedBySome(l output.Layout, r output.Row) []string {
	var at []int
	for i, c := range r.Chances {
		if c.Share < 1 {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(r.Chances[a].Share, r.Chances[b].Share) })
	return table.Gather(at, func(i int) string { return l.Limits[i].Key })
}
