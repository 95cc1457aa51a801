package output

import (
	"fmt"
	"slices"
)

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
			designs[i] = append(designs[i], unwritten(v, q.Unit))
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
