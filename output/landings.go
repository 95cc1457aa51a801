package output

import (
	"ullage/model"
	"ullage/output/table"
)

// A Landing is where one flight under scatter comes down, in SI, positive
// downwind, and how fast. Both do not apply to a flight that does not land.
type Landing struct {
	Drift, Speed table.Value
}

// Landings returns the table of landings in long form: those of each design
// of a front, which are flown under the same draws.
func Landings(designs [][]Landing) table.Table {
	var numbers, draws []int32
	var all []Landing
	for i, landings := range designs {
		for k := range landings {
			numbers, draws = append(numbers, int32(i+1)), append(draws, int32(k+1))
		}
		all = append(all, landings...)
	}
	figure := func(id model.Figure, value func(Landing) table.Value) table.Column {
		info := model.Figures[id]
		return table.Column{
			Name: table.ColumnName(info.Key, info.Unit), Unit: table.Unit(info.Unit), Role: table.Figure, Doc: info.Doc,
			Values: table.Gather(all, func(l Landing) table.Value { return value(l).Written(info.Unit) }),
		}
	}
	return table.Table{Columns: []table.Column{
		identity("design", "number of the design in this run", numbers),
		identity("draw", "number of the draw, one for all designs", draws),
		figure(model.Drift, func(l Landing) table.Value { return l.Drift }),
		figure(model.LandingSpeed, func(l Landing) table.Value { return l.Speed }),
	}}
}
