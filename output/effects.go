package output

import (
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output/table"
)

// Effects says what single changes do to a design of a brief.
type Effects struct {
	Brief   *brief.Brief
	Design  int // number in its run; 0: the brief's own
	X       []float64
	Flight  model.Flight // of the design as set
	Missed  []string     // keys of the limits that it does not keep
	Changes []answers.Effect
}

// Table returns a table with a row for each change, in their order.
func (e *Effects) Table() table.Table {
	type change = answers.Effect
	t := table.Table{Columns: []table.Column{
		identity("quantity", "what is changed", table.Gather(e.Changes, func(c change) string { return c.Quantity.Key })),
		e.steps(),
		identity("step_unit", "unit of the step; 1 for a ratio or a count", table.Gather(e.Changes, func(c change) string { return table.Unit(c.Quantity.Unit) })),
	}}
	if e.words() {
		t.Columns = append(t.Columns, identity("word", "what the quantity becomes, where it is a word; else empty",
			table.Gather(e.Changes, func(c change) string { return c.Word })))
	}
	t.Columns = append(t.Columns,
		identity("is_doubt", "one deviation of what is not known; else one step in the workshop or at the pad",
			table.Gather(e.Changes, func(c change) bool { return c.Doubt })))
	for i, id := range answers.Affected {
		info := model.Figures[id]
		c := figure(info)
		c.Doc = "change of: " + info.Doc
		c.Values = nullable(e.Changes, info.Unit, func(c change) float64 { return c.Changes[i] })
		t.Columns = append(t.Columns, c)
	}
	t.Columns = append(t.Columns, identity("missed", "limits that the design keeps as set and misses with the change",
		table.Gather(e.Changes, func(c change) []string { return append([]string{}, c.Missed...) })))
	return t
}

// words reports whether a change is one of words.
func (e *Effects) words() bool {
	return slices.ContainsFunc(e.Changes, func(c answers.Effect) bool { return c.Word != "" })
}

// steps returns the column of what is added; a word has none.
func (e *Effects) steps() table.Column {
	c := table.Column{Name: "step", Unit: "1", Role: table.Varied, Doc: "what is added to the quantity, in the unit that the next column names"}
	step := func(c answers.Effect) float64 { return StepOf(&c) }
	c.Values = table.Gather(e.Changes, step)
	if e.words() {
		c.Values = table.Nullable(table.Gather(e.Changes, step))
	}
	return c
}

// StepOf returns the step of a change in the unit of files, NaN of a word.
func StepOf(c *answers.Effect) float64 {
	if c.Word != "" {
		return math.NaN()
	}
	return table.Written(c.Step, c.Quantity.Unit)
}
