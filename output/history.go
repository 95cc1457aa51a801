package output

import "ullage/output/table"

// An Epoch is one island at one barrier of a search.
type Epoch struct {
	Epoch         int // from 1
	Island        int // from 0
	Flights       int // of the island so far
	FeasibleShare float64
	Hypervolume   float64       // in the product of the goals' SI units
	Best          []table.Value // SI, parallel to the goals
	Seconds       float64       // wall time since the start
}

// History returns the table of a search's epochs in the order given; goals are
// those of the Layout.
func History(goals []table.Quantity, epochs []Epoch) table.Table {
	var t table.Table
	add := func(c table.Column, values any) {
		c.Values = values
		t.Columns = append(t.Columns, c)
	}
	add(table.Column{Name: "epoch", Unit: "1", Role: table.Identity, Doc: "barrier, from 1"},
		table.Gather(epochs, func(e Epoch) int32 { return int32(e.Epoch) }))
	add(table.Column{Name: "island", Unit: "1", Role: table.Identity, Doc: "island, from 0"},
		table.Gather(epochs, func(e Epoch) int32 { return int32(e.Island) }))
	add(table.Column{Name: "flights", Unit: "1", Role: table.Figure, Doc: "flights of the island so far"},
		table.Gather(epochs, func(e Epoch) int32 { return int32(e.Flights) }))
	add(table.Column{Name: "feasible_share", Unit: "1", Role: table.Figure, Doc: "share of these flights that met every limit"},
		table.Gather(epochs, func(e Epoch) float64 { return e.FeasibleShare }))
	add(table.Column{Name: "hypervolume", Unit: "1", Role: table.Figure, Doc: "of the island's front, in the product of the goals' SI units"},
		table.Gather(epochs, func(e Epoch) float64 { return e.Hypervolume }))
	for i, q := range goals {
		add(table.Column{
			Name: "best_" + table.ColumnName(q.Key, q.Unit), Unit: table.Unit(q.Unit), Role: table.Goal, Sense: q.Sense,
			Doc: "best " + q.Key + " among the island's feasible designs so far",
		}, table.Gather(epochs, func(e Epoch) table.Value { return e.Best[i].Written(q.Unit) }))
	}
	add(table.Column{Name: "seconds", Unit: "s", Role: table.Figure, Doc: "wall time since the start"},
		table.Gather(epochs, func(e Epoch) float64 { return e.Seconds }))
	return t
}
