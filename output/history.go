package output

// An Epoch is one island at one barrier of a search.
type Epoch struct {
	Epoch, Island int
	Flights       int     // flown by the island so far
	FeasibleShare float64 // 1, of the island's population
	Hypervolume   float64 // of the archive at the barrier, in the search's normalised goals
	Best          []Value // SI, parallel to the goals: the island's best feasible so far
	Seconds       float64 // wall time since the start
}

// History returns the table of a search's epochs in the order given; goals are
// those of the Layout.
func History(goals []Quantity, epochs []Epoch) Table {
	t := Table{Columns: []Column{
		identity("epoch", "barrier, from 1", gather(epochs, func(e Epoch) int32 { return int32(e.Epoch) })),
		identity("island", "island, from 1", gather(epochs, func(e Epoch) int32 { return int32(e.Island) })),
		{Name: "flights", Unit: "1", Role: Figure, Doc: "flights of the island so far",
			Values: gather(epochs, func(e Epoch) int32 { return int32(e.Flights) })},
		{Name: "feasible_share", Unit: "1", Role: Figure, Doc: "share of the island's population that meets every limit",
			Values: gather(epochs, func(e Epoch) float64 { return e.FeasibleShare })},
		{Name: "hypervolume", Unit: "1", Role: Figure, Doc: "of the archive, in normalised goals",
			Values: gather(epochs, func(e Epoch) float64 { return e.Hypervolume })},
	}}
	for i, q := range goals {
		t.Columns = append(t.Columns, Column{
			Name: "best_" + ColumnName(q.Key, q.Unit), Unit: writtenUnit(q.Unit), Role: Goal, Sense: q.Sense,
			Doc:    "best " + q.Key + " of the island's feasible designs so far",
			Values: gather(epochs, func(e Epoch) Value { return e.Best[i].written(q.Unit) }),
		})
	}
	t.Columns = append(t.Columns, Column{Name: "seconds", Unit: "s", Role: Figure, Doc: "wall time since the start",
		Values: gather(epochs, func(e Epoch) float64 { return e.Seconds })})
	return t
}
