package output

import (
	"math"

	"ullage/output/table"
)

// A Sample is one instant of a design's trajectory.
type Sample struct {
	Design int
	Phase  string
	Values []float64 // SI, parallel to the series; NaN does not apply and is written as null
}

// Paths returns the table of trajectories in long form: design, phase, then
// one nullable column a series.
func Paths(series []table.Quantity, samples []Sample) table.Table {
	t := table.Table{Columns: []table.Column{
		identity("design", "number of the design in this run", table.Gather(samples, func(s Sample) int32 { return int32(s.Design) })),
		identity("phase", "phase of the flight", table.Gather(samples, func(s Sample) string { return s.Phase })),
	}}
	for i, q := range series {
		t.Columns = append(t.Columns, table.Column{
			Name: table.ColumnName(q.Key, q.Unit), Unit: table.Unit(q.Unit), Role: table.Figure, Doc: q.Doc,
			Values: table.Gather(samples, func(s Sample) table.Value {
				return table.Of(s.Values[i], !math.IsNaN(s.Values[i])).Written(q.Unit)
			}),
		})
	}
	return t
}
