package output

import (
	"fmt"
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
	slacks := gather(l.Limits, func(q Quantity) []Value { return read.si(slackColumn(q).Name, q.Unit) })
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

// A tableReader reads columns until one is missing.
type tableReader struct {
	t   Table
	err error
}

func (r *tableReader) index(name string) int {
	return slices.IndexFunc(r.t.Columns, func(c Column) bool { return c.Name == name })
}

func (r *tableReader) has(name string) bool { return r.index(name) >= 0 }

// columnOf returns the values of a column, or notes that the table has none of
// that name and type.
func columnOf[T any](r *tableReader, name string) []T {
	if i := r.index(name); i >= 0 {
		if values, ok := r.t.Columns[i].Values.([]T); ok {
			return values
		}
	}
	if r.err == nil {
		kind := fmt.Sprintf("type %T", *new(T))
		if _, ok := any(*new(T)).(Value); ok {
			kind = "numbers that may not apply"
		}
		r.err = fmt.Errorf("no column %s of %s, want one", name, kind)
	}
	return make([]T, r.t.Rows())
}

// si returns a column of numbers in SI.
func (r *tableReader) si(name, unit string) []Value {
	return gather(columnOf[Value](r, name), func(v Value) Value { return Of(unwritten(v.Number, unit), v.Applies) })
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
