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
