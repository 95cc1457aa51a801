package output

import (
	"slices"
	"strings"

	"ullage/model"
)

// rows turns the table of a front back into its rows, but for their outcomes.
func (l Layout) rows(t Table) ([]Row, error) {
	rows := make([]Row, t.Rows())
	designs, err := t.Designs(l.Varied)
	if err != nil {
		return nil, err
	}
	read := tableReader{t: t}
	numbers, binding := columnOf[int32](&read, "design"), columnOf[[]string](&read, "binding")
	knees, held := columnOf[bool](&read, "knee"), columnOf[bool](&read, "feasible")
	warnings := columnOf[[]string](&read, "warnings")
	figures := gather(l.Figures, func(q Quantity) []Value {
		// A run of an older build may lack a figure.
		if name := ColumnName(q.Key, q.Unit); read.has(name) {
			return read.si(name, q.Unit)
		}
		return make([]Value, len(rows))
	})
	slacks := gather(l.Limits, func(q Quantity) []Value { return read.si(SlackName(q), q.Unit) })
	var goals, shares, leasts [][]Value
	if l.Confidence > 0 {
		for i, q := range l.Goals {
			goals = append(goals, read.si(ColumnName(strings.ReplaceAll(l.Summed[i], " ", "_")+"_"+q.Key, q.Unit), q.Unit))
		}
		for _, q := range l.Limits {
			shares = append(shares, read.si("chance_"+ColumnName(q.Key, "1"), "1"))
			leasts = append(leasts, read.si("chance_least_"+ColumnName(q.Key, "1"), "1"))
		}
	}
	if read.err != nil {
		return nil, read.err
	}
	at := func(columns [][]Value, i int) []Value { return gather(columns, func(c []Value) Value { return c[i] }) }
	for i := range rows {
		rows[i] = Row{
			Design: int(numbers[i]), X: designs[i], Warnings: warningsOf(warnings[i]), Figures: at(figures, i),
			Slacks: at(slacks, i), Binding: binding[i], Knee: knees[i], Held: held[i],
		}
		if l.Confidence > 0 && len(shares) > 0 && shares[0][i].Applies {
			rows[i].Goals = at(goals, i)
			for k := range shares {
				rows[i].Chances = append(rows[i].Chances, Chance{shares[k][i].Number, leasts[k][i].Number})
			}
		}
	}
	return rows, nil
}

func warningsOf(keys []string) model.Warnings {
	var set model.Warnings
	for w := model.MachHigh; w <= model.CanopyNotFull; w <<= 1 {
		if slices.Contains(keys, w.Keys()[0]) {
			set |= w
		}
	}
	return set
}
