package output

import "ullage/model"

// A Landing is where one flight under scatter comes down, in SI, positive
// downwind, and how fast. Both do not apply to a flight that does not land.
type Landing struct {
	Drift, Speed Value
}

// Landings returns the table of landings in long form: those of each design
// of a front, which are flown under the same draws.
func Landings(designs [][]Landing) Table {
	var numbers, draws []int32
	var all []Landing
	for i, landings := range designs {
		for k := range landings {
			numbers, draws = append(numbers, int32(i+1)), append(draws, int32(k+1))
		}
		all = append(all, landings...)
	}
	figure := func(id model.Figure, value func(Landing) Value) Column {
		info := model.Figures[id]
		return Column{
			Name: ColumnName(info.Key, info.Unit), Unit: writtenUnit(info.Unit), Role: Figure, Doc: info.Doc,
			Values: gather(all, func(l Landing) Value { return value(l).written(info.Unit) }),
		}
	}
	return Table{Columns: []Column{
		identity("design", "number of the design in this run", numbers),
		identity("draw", "number of the draw, one for all designs", draws),
		figure(model.Drift, func(l Landing) Value { return l.Drift }),
		figure(model.LandingSpeed, func(l Landing) Value { return l.Speed }),
	}}
}
