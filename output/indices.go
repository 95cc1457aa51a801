package output

import (
	"math"

	"ullage/output/table"
)

// An IndexRow says what part one quantity has in the variance of one number.
type IndexRow struct {
	Number   string   `json:"number"`   // key of a goal or of a limited number
	Quantity string   `json:"quantity"` // key of a varied quantity
	First    Estimate `json:"first"`    // alone
	Total    Estimate `json:"total"`    // alone and together with others
	Rows     int      `json:"rows"`     // of the sample, those that could be used
}

// An Estimate is an index with its 95 % interval; NaN where the number does not
// vary.
type Estimate struct {
	Value table.Number `json:"value"`
	Low   table.Number `json:"low"`
	High  table.Number `json:"high"`
}

// NoEstimate is that of a number that does not vary.
func NoEstimate() Estimate {
	none := table.Number(math.NaN())
	return Estimate{none, none, none}
}

// Indices returns the table of sensitivity indices in the order given.
func Indices(rows []IndexRow) table.Table {
	var t table.Table
	add := func(name string, role table.Role, doc string, values any) {
		t.Columns = append(t.Columns, table.Column{Name: name, Unit: "1", Role: role, Doc: doc, Values: values})
	}
	add("number", table.Identity, "goal or limited number", table.Gather(rows, func(r IndexRow) string { return r.Number }))
	add("quantity", table.Identity, "varied quantity", table.Gather(rows, func(r IndexRow) string { return r.Quantity }))
	for _, c := range []struct {
		name, doc string
		of        func(IndexRow) Estimate
	}{
		{"first", "first-order index: share of the number's variance that the quantity explains alone", func(r IndexRow) Estimate { return r.First }},
		{"total", "total index: share of the number's variance that the quantity has a part in", func(r IndexRow) Estimate { return r.Total }},
	} {
		add(c.name, table.Figure, c.doc, nullable(rows, "1", func(r IndexRow) float64 { return float64(c.of(r).Value) }))
		add(c.name+"_low", table.Figure, "lower bound of the 95 % interval of "+c.name, nullable(rows, "1", func(r IndexRow) float64 { return float64(c.of(r).Low) }))
		add(c.name+"_high", table.Figure, "upper bound of the 95 % interval of "+c.name, nullable(rows, "1", func(r IndexRow) float64 { return float64(c.of(r).High) }))
	}
	add("rows", table.Figure, "rows of the sample that could be used", table.Gather(rows, func(r IndexRow) int32 { return int32(r.Rows) }))
	return t
}

// IndexRows turns the table of Indices back into its rows. It errs where the table
// lacks one of their columns, or has it of another type.
func IndexRows(t table.Table) ([]IndexRow, error) {
	read := table.Reader{Table: t}
	numbers, quantities, used := table.Values[string](&read, "number"), table.Values[string](&read, "quantity"), table.Values[int32](&read, "rows")
	estimates := func(name string) []Estimate {
		value, low, high := read.SI(name, "1"), read.SI(name+"_low", "1"), read.SI(name+"_high", "1")
		all := make([]Estimate, len(value))
		for i := range all {
			all[i] = Estimate{table.Number(value[i]), table.Number(low[i]), table.Number(high[i])}
		}
		return all
	}
	first, total := estimates("first"), estimates("total")
	rows := make([]IndexRow, t.Rows())
	for i := range rows {
		rows[i] = IndexRow{numbers[i], quantities[i], first[i], total[i], int(used[i])}
	}
	return rows, read.Err
}
