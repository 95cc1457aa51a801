package output

import (
	"math"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/output/table"
)

// History returns the table of the records of a search, an island at a barrier
// each, in the order given. Seconds is the wall time of each since the start.
func History(b *brief.Brief, records []optimize.Record, seconds []float64) table.Table {
	var t table.Table
	add := func(c table.Column, values any) {
		c.Values = values
		t.Columns = append(t.Columns, c)
	}
	type record = optimize.Record
	add(table.Column{Name: "epoch", Unit: "1", Role: table.Identity, Doc: "barrier, from 1"},
		table.Gather(records, func(r record) int32 { return int32(r.Barrier) }))
	add(table.Column{Name: "island", Unit: "1", Role: table.Identity, Doc: "island, from 0"},
		table.Gather(records, func(r record) int32 { return int32(r.Island) }))
	add(table.Column{Name: "flights", Unit: "1", Role: table.Figure, Doc: "flights of the island so far"},
		table.Gather(records, func(r record) int32 { return int32(r.Flights) }))
	add(table.Column{Name: "feasible_share", Unit: "1", Role: table.Figure, Doc: "share of these flights that met every limit"},
		table.Gather(records, func(r record) float64 { return float64(r.Feasible) / float64(max(r.Flights, 1)) }))
	add(table.Column{Name: "hypervolume", Unit: "1", Role: table.Figure, Doc: "of the island's front, in the product of the goals' SI units"},
		table.Gather(records, func(r record) float64 { return r.Hypervolume }))
	for i := range b.Goals {
		g := &b.Goals[i]
		add(table.Column{
			Name: "best_" + table.ColumnName(g.Key, g.Unit), Unit: table.Unit(g.Unit), Role: table.Goal, Sense: g.Describe(),
			Doc: "best " + g.Key + " among the island's feasible designs so far",
		}, nullable(records, g.Unit, func(r record) float64 {
			if r.Best == nil {
				return math.NaN()
			}
			return g.Natural(r.Best[i])
		}))
	}
	add(table.Column{Name: "seconds", Unit: "s", Role: table.Figure, Doc: "wall time since the start"}, seconds)
	return t
}

// Records turns the table of a search's records back into them, but for what a
// page does not show. It errs where the table lacks one of their columns, or has
// it of another type.
func Records(t table.Table) ([]optimize.Record, error) {
	read := table.Reader{Table: t}
	barrier, flights, hypervolume := table.Values[int32](&read, "epoch"), table.Values[int32](&read, "flights"), table.Values[float64](&read, "hypervolume")
	if read.Err != nil {
		return nil, read.Err
	}
	records := make([]optimize.Record, t.Rows())
	for i := range records {
		records[i] = optimize.Record{Barrier: int(barrier[i]), Flights: int(flights[i]), Hypervolume: hypervolume[i]}
	}
	return records, nil
}
