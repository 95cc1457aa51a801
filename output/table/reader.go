package table

import (
	"fmt"
	"slices"
)

// A Reader reads columns of a Table until one is missing, which Err says then.
type Reader struct {
	Table Table
	Err   error
}

func (r *Reader) index(name string) int {
	return slices.IndexFunc(r.Table.Columns, func(c Column) bool { return c.Name == name })
}

// Has reports whether the table has a column of that name.
func (r *Reader) Has(name string) bool { return r.index(name) >= 0 }

// Values returns the values of a column, or notes in r that the table has none
// of that name and type, and returns as many zeros as it has rows.
func Values[T any](r *Reader, name string) []T {
	if i := r.index(name); i >= 0 {
		if values, ok := r.Table.Columns[i].Values.([]T); ok {
			return values
		}
	}
	if r.Err == nil {
		kind := fmt.Sprintf("type %T", *new(T))
		if _, ok := any(*new(T)).(Value); ok {
			kind = "numbers that may not apply"
		}
		r.Err = fmt.Errorf("no column %s of %s, want one", name, kind)
	}
	return make([]T, r.Table.Rows())
}

// SI returns a column of numbers, which files state in Unit(unit), in SI, as
// Values does.
func (r *Reader) SI(name, unit string) []Value {
	return Gather(Values[Value](r, name), func(v Value) Value { return Of(SI(v.Number, unit), v.Applies) })
}

// Designs returns the designs of a front or an archive: of each row the values
// of the given quantities, in SI. It refuses a table without one of them.
func (t Table) Designs(varied []Quantity) ([][]float64, error) {
	designs := make([][]float64, t.Rows())
	for _, q := range varied {
		values, ok := t.floats(ColumnName(q.Key, q.Unit))
		if !ok {
			return nil, fmt.Errorf("no column %s of numbers, want one", ColumnName(q.Key, q.Unit))
		}
		for i, v := range values {
			designs[i] = append(designs[i], SI(v, q.Unit))
		}
	}
	return designs, nil
}

func (t Table) floats(name string) ([]float64, bool) {
	for _, c := range t.Columns {
		if c.Name == name {
			values, ok := c.Values.([]float64)
			return values, ok
		}
	}
	return nil, false
}
