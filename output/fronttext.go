package output

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// lineWidth is the most that a line of FrontText may take: terminals and mail
// show 100 columns without wrapping.
const lineWidth = 100

// limitWidth is kept free for the names of binding or missed limits.
const limitWidth = 24

// FrontText returns the front as a table for a terminal, in the order given:
// design number, goals, varied quantities and the limits that bind, of at most
// n designs. Designs that miss limits are marked with them; limits that bind
// in every row are said once, below, where what does not fit is counted too.
func (l Layout) FrontText(rows []Row, n int) string {
	some := rows[:min(n, len(rows))]
	always := everywhere(rows)
	columns, left := l.textColumns(some)
	var b strings.Builder
	for line := range 3 {
		text := ""
		for _, c := range columns {
			text += fmt.Sprintf("%*s  ", c.width, c.head[line])
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
			text += fmt.Sprintf("%*s  ", c.width, c.cells[i])
		}
		text += fit(l.limitWords(r, always), lineWidth-len(text))
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
		b.WriteString(every + fit(always, lineWidth-len(every)) + "\n")
	}
	return b.String()
}

// A textColumn is one column of numbers under a heading of three lines:
// section, name, unit.
type textColumn struct {
	head  [3]string
	cells []string
	width int
}

// textColumns returns the columns that fit, and how many do not.
func (l Layout) textColumns(rows []Row) (columns []textColumn, left int) {
	all := []textColumn{newTextColumn([3]string{"", "design", ""}, gather(rows, func(r Row) string {
		return fmt.Sprint(r.Design)
	}))}
	goals := map[string]bool{}
	for i, q := range l.Goals {
		goals[q.Key] = true
		all = append(all, l.goalColumn(i, rows))
	}
	for i, q := range l.Varied {
		if !goals[q.Key] {
			all = append(all, l.textColumn(q, gather(rows, func(r Row) Value { return Of(r.X[i], true) })))
		}
	}
	used := 0
	for i, c := range all {
		used += c.width + 2
		if used > lineWidth-limitWidth {
			return all[:i], len(all) - i
		}
	}
	return all, 0
}

func (l Layout) textColumn(q Quantity, values []Value) textColumn {
	section, name, dotted := strings.Cut(q.Key, ".")
	if !dotted {
		section, name = "", q.Key
	}
	s := display(q)
	return newTextColumn([3]string{section, name, s.unit}, gather(values, s.value))
}

func newTextColumn(head [3]string, cells []string) textColumn {
	c := textColumn{head: head, cells: cells}
	for _, text := range slices.Concat(cells, head[:]) {
		c.width = max(c.width, utf8.RuneCountInString(text))
	}
	return c
}

// limitWords lists the limits that matter to a row: those it misses, else
// those that bind, but for what binds in every row.
func (l Layout) limitWords(r Row, always []string) []string {
	if missed := l.Missed(r); len(missed) > 0 {
		missed[0] = "misses " + missed[0]
		return missed
	}
	if r.Chances != nil {
		return l.missedBySome(r)
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

// goalColumn is the column of goal i in a text: of a robust search as it is
// summed up, but for a quantity, which is as set in every flight.
func (l Layout) goalColumn(i int, rows []Row) textColumn {
	q := l.Goals[i]
	if l.Confidence == 0 || strings.Contains(q.Key, ".") {
		return l.textColumn(q, gather(rows, func(r Row) Value { return l.find(r, q.Key) }))
	}
	c := l.textColumn(q, gather(rows, func(r Row) Value {
		if r.Goals == nil {
			return Value{}
		}
		return r.Goals[i]
	}))
	return newTextColumn([3]string{l.Summed[i], c.head[1], c.head[2]}, c.cells)
}

// missedBySome lists the limits that some flights of a row miss, the least kept
// first.
func (l Layout) missedBySome(r Row) []string {
	var at []int
	for i, c := range r.Chances {
		if c.Share < 1 {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(r.Chances[a].Share, r.Chances[b].Share) })
	return gather(at, func(i int) string { return l.Limits[i].Key })
}
