package output

import (
	"fmt"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output/table"
)

// Landings returns the table of landings in long form: those of each design
// of a front, which are flown under the same draws.
func Landings(designs [][]study.Landing) table.Table {
	var numbers, draws []int32
	var all []study.Landing
	for i, landings := range designs {
		for k := range landings {
			numbers, draws = append(numbers, int32(i+1)), append(draws, int32(k+1))
		}
		all = append(all, landings...)
	}
	number := func(id model.Figure, value func(study.Landing) float64) table.Column {
		c := figure(model.Figures[id])
		c.Values = nullable(all, model.Figures[id].Unit, value)
		return c
	}
	return table.Table{Columns: []table.Column{
		identity("design", "number of the design in this run", numbers),
		identity("draw", "number of the draw, one for all designs", draws),
		number(model.Drift, func(l study.Landing) float64 { return l.Drift }),
		number(model.LandingSpeed, func(l study.Landing) float64 { return l.Speed }),
	}}
}

// LandingsOf turns the table of landings of so many designs back into those of
// each. It errs where the table lacks a column, has it of another type, or names a
// design beyond so many.
func LandingsOf(t table.Table, designs int) ([][]study.Landing, error) {
	read := table.Reader{Table: t}
	number := table.Values[int32](&read, "design")
	drift, speed := model.Figures[model.Drift], model.Figures[model.LandingSpeed]
	drifts := read.SI(table.ColumnName(drift.Key, drift.Unit), drift.Unit)
	speeds := read.SI(table.ColumnName(speed.Key, speed.Unit), speed.Unit)
	if read.Err != nil {
		return nil, read.Err
	}
	of := make([][]study.Landing, designs)
	for i, n := range number {
		if n < 1 || int(n) > designs {
			return nil, fmt.Errorf("design %d, want 1 to %d", n, designs)
		}
		of[n-1] = append(of[n-1], study.Landing{Drift: drifts[i], Speed: speeds[i]})
	}
	return of, nil
}
