package output

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// An IndexRow says what part one quantity has in the variance of one number.
type IndexRow struct {
	Number   string   `json:"number"`   // key of a goal or of a limited number
	Quantity string   `json:"quantity"` // key of a varied quantity
	First    Estimate `json:"first"`    // alone
	Total    Estimate `json:"total"`    // alone and together with others
	Rows     int      `json:"rows"`     // of the sample, those that could be used
}

// An Estimate is an index with its 95 % interval; it does not apply where the
// number does not vary.
type Estimate struct {
	Value Value `json:"value"`
	Low   Value `json:"low"`
	High  Value `json:"high"`
}

// Indices returns the table of sensitivity indices in the order given.
func Indices(rows []IndexRow) Table {
	var t Table
	add := func(name string, role Role, doc string, values any) {
		t.Columns = append(t.Columns, Column{Name: name, Unit: "1", Role: role, Doc: doc, Values: values})
	}
	add("number", Identity, "goal or limited number", gather(rows, func(r IndexRow) string { return r.Number }))
	add("quantity", Identity, "varied quantity", gather(rows, func(r IndexRow) string { return r.Quantity }))
	for _, c := range []struct {
		name, doc string
		of        func(IndexRow) Estimate
	}{
		{"first", "first-order index: share of the number's variance that the quantity explains alone", func(r IndexRow) Estimate { return r.First }},
		{"total", "total index: share of the number's variance that the quantity has a part in", func(r IndexRow) Estimate { return r.Total }},
	} {
		add(c.name, Figure, c.doc, gather(rows, func(r IndexRow) Value { return c.of(r).Value }))
		add(c.name+"_low", Figure, "lower bound of the 95 % interval of "+c.name, gather(rows, func(r IndexRow) Value { return c.of(r).Low }))
		add(c.name+"_high", Figure, "upper bound of the 95 % interval of "+c.name, gather(rows, func(r IndexRow) Value { return c.of(r).High }))
	}
	add("rows", Figure, "rows of the sample that could be used", gather(rows, func(r IndexRow) int32 { return int32(r.Rows) }))
	return t
}

// IndicesText returns the indices for a terminal, number by number, the
// quantity with the largest part first.
func IndicesText(rows []IndexRow) string {
	width := len("quantity")
	for _, r := range rows {
		width = max(width, len(r.Quantity))
	}
	var b strings.Builder
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Number == rows[0].Number {
			n++
		}
		group := slices.Clone(rows[:n])
		rows = rows[n:]
		fmt.Fprintf(&b, "%s, from %d rows\n", group[0].Number, group[0].Rows)
		if !group[0].Total.Value.Applies {
			b.WriteString("  does not vary, or is not known\n")
			continue
		}
		slices.SortStableFunc(group, func(x, y IndexRow) int { return cmp.Compare(y.Total.Value.Number, x.Total.Value.Number) })
		fmt.Fprintf(&b, "  %-*s  %14s  %14s\n", width, "quantity", "alone", "with others")
		for _, r := range group {
			fmt.Fprintf(&b, "  %-*s  %14s  %14s\n", width, r.Quantity, r.First.text(), r.Total.text())
		}
	}
	return b.String()
}

// text writes an index with half the width of its interval.
func (x Estimate) text() string {
	return fmt.Sprintf("%.3f ± %.3f", x.Value.Number, (x.High.Number-x.Low.Number)/2)
}
