package output

import (
	"slices"
	"strings"

	"ullage/model"
	"ullage/output/table"
)

// Rows turns the table of a front back into its rows, but for their outcomes.
func (l Layout) Rows(t table.Table) ([]Row, error) {
	rows := make([]Row, t.Rows())
	designs, err := t.Designs(l.Varied)
	if err != nil {
		return nil, err
	}
	read := table.Reader{Table: t}
	numbers, binding := table.Values[int32](&read, "design"), table.Values[[]string](&read, "binding")
	knees, held := table.Values[bool](&read, "knee"), table.Values[bool](&read, "feasible")
	warnings := table.Values[[]string](&read, "warnings")
	figures := table.Gather(l.Figures, func(q table.Quantity) []table.Value {
		// A run of an older build may lack a figure.
		if name := table.ColumnName(q.Key, q.Unit); read.Has(name) {
			return read.SI(name, q.Unit)
		}
		return make([]table.Value, len(rows))
	})
	slacks := table.Gather(l.Limits, func(q table.Quantity) []table.Value { return read.SI(SlackName(q), q.Unit) })
	var goals, shares, leasts [][]table.Value
	if l.Confidence > 0 {
		for i, q := range l.Goals {
			goals = append(goals, read.SI(table.ColumnName(strings.ReplaceAll(l.Summed[i], " ", "_")+"_"+q.Key, q.Unit), q.Unit))
		}
		for _, q := range l.Limits {
			shares = append(shares, read.SI("chance_"+table.ColumnName(q.Key, "1"), "1"))
			leasts = append(leasts, read.SI("chance_least_"+table.ColumnName(q.Key, "1"), "1"))
		}
	}
	if read.Err != nil {
		return nil, read.Err
	}
	at := func(columns [][]table.Value, i int) []table.Value {
		return table.Gather(columns, func(c []table.Value) table.Value { return c[i] })
	}
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
