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
	kind := fmt.Sprintf("type %T", *new(T))
	if _, ok := any(*new(T)).(float64); ok {
		kind = "numbers"
	}
	r.miss(name, kind)
	return make([]T, r.Table.Rows())
}

// SI returns a column of numbers, which files state in Unit(unit), in SI, as
// Values does. Those that are not there are NaN.
func (r *Reader) SI(name, unit string) []float64 {
	if i := r.index(name); i >= 0 {
		switch values := r.Table.Columns[i].Values.(type) {
		case Nullable:
			return allSI(values, unit)
		case []float64:
			return allSI(values, unit)
		}
	}
	r.miss(name, "numbers")
	return make([]float64, r.Table.Rows())
}

func allSI(values []float64, unit string) []float64 {
	return Gather(values, func(v float64) float64 { return SI(v, unit) })
}

func (r *Reader) miss(name, kind string) {
	if r.Err == nil {
		r.Err = fmt.Errorf("no column %s of %s, want one", name, kind)
	}
}
