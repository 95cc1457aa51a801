package output

// An Epoch is one island at one barrier of a search.
type Epoch struct {
	Epoch         int // from 1
	Island        int // from 0
	Flights       int // of the island so far
	FeasibleShare float64
	Hypervolume   float64 // in the product of the goals' SI units
	Best          []Value // SI, parallel to the goals
	Seconds       float64 // wall time since the start
}

// History returns the table of a search's epochs in the order given; goals are
// those of the Layout.
func History(goals []Quantity, epochs []Epoch) Table {
	var t Table
	add := func(c Column, values any) {
		c.Values = values
		t.Columns = append(t.Columns, c)
	}
	add(Column{Name: "epoch", Unit: "1", Role: Identity, Doc: "barrier, from 1"},
		gather(epochs, func(e Epoch) int32 { return int32(e.Epoch) }))
	add(Column{Name: "island", Unit: "1", Role: Identity, Doc: "island, from 0"},
		gather(epochs, func(e Epoch) int32 { return int32(e.Island) }))
	add(Column{Name: "flights", Unit: "1", Role: Figure, Doc: "flights of the island so far"},
		gather(epochs, func(e Epoch) int32 { return int32(e.Flights) }))
	add(Column{Name: "feasible_share", Unit: "1", Role: Figure, Doc: "share of these flights that met every limit"},
		gather(epochs, func(e Epoch) float64 { return e.FeasibleShare }))
	add(Column{Name: "hypervolume", Unit: "1", Role: Figure, Doc: "of the island's front, in the product of the goals' SI units"},
		gather(epochs, func(e Epoch) float64 { return e.Hypervolume }))
	for i, q := range goals {
		add(Column{
			Name: "best_" + ColumnName(q.Key, q.Unit), Unit: writtenUnit(q.Unit), Role: Goal, Sense: q.Sense,
			Doc: "best " + q.Key + " among the island's feasible designs so far",
		}, gather(epochs, func(e Epoch) Value { return e.Best[i].written(q.Unit) }))
	}
	add(Column{Name: "seconds", Unit: "s", Role: Figure, Doc: "wall time since the start"},
		gather(epochs, func(e Epoch) float64 { return e.Seconds }))
	return t
}
