package output

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
