package output

import "math"

// A Sample is one instant of a design's trajectory.
type Sample struct {
	Design int
	Phase  string
	Values []float64 // SI, parallel to the series; NaN does not apply and is written as null
}

// Paths returns the table of trajectories in long form: design, phase, then
// one nullable column a series.
func Paths(series []Quantity, samples []Sample) Table {
	t := Table{Columns: []Column{
		identity("design", "number of the design in this run", gather(samples, func(s Sample) int32 { return int32(s.Design) })),
		identity("phase", "phase of the flight", gather(samples, func(s Sample) string { return s.Phase })),
	}}
	for i, q := range series {
		t.Columns = append(t.Columns, Column{
			Name: ColumnName(q.Key, q.Unit), Unit: writtenUnit(q.Unit), Role: Figure, Doc: q.Doc,
			Values: gather(samples, func(s Sample) Value {
				return Of(s.Values[i], !math.IsNaN(s.Values[i])).written(q.Unit)
			}),
		})
	}
	return t
}
