package output

import (
	"slices"

	"ullage/output/table"
)

// Numbers returns what a sweep keeps of each flight beside the varied
// quantities: every goal and every limited number that is none of them, once.
func (l Layout) Numbers() []table.Quantity {
	var numbers []table.Quantity
	for _, q := range slices.Concat(l.Goals, l.Limits) {
		same := func(other table.Quantity) bool { return other.Key == q.Key }
		if !slices.ContainsFunc(l.Varied, same) && !slices.ContainsFunc(numbers, same) {
			numbers = append(numbers, q)
		}
	}
	return numbers
}

// Flights are rows of a sweep that are set one by one. Several goroutines may
// set rows at a time, each its own.
type Flights struct {
	columns  []table.Column
	varied   []table.Quantity
	numbers  []table.Quantity
	feasible []bool
	outcome  []string
}

// NewFlights returns n rows: every varied quantity, Numbers, feasible and
// outcome.
func (l Layout) NewFlights(n int) *Flights {
	f := &Flights{varied: l.Varied, numbers: l.Numbers(), feasible: make([]bool, n), outcome: make([]string, n)}
	for _, q := range f.varied {
		c := l.column(q, table.Varied)
		c.Values = make([]float64, n)
		f.columns = append(f.columns, c)
	}
	for _, q := range f.numbers {
		c := l.column(q, table.Figure)
		c.Values = make([]table.Value, n)
		f.columns = append(f.columns, c)
	}
	f.columns = append(f.columns,
		identity("feasible", "meets every limit", f.feasible),
		identity("outcome", "landed, or why the flight could not be computed", f.outcome))
	return f
}

// Set gives a row its values, in SI: x is parallel to the varied quantities,
// numbers to Numbers.
func (f *Flights) Set(row int, x []float64, numbers []table.Value, feasible bool, outcome string) {
	for i, q := range f.varied {
		f.columns[i].Values.([]float64)[row] = table.Written(x[i], q.Unit)
	}
	for i, q := range f.numbers {
		f.columns[len(f.varied)+i].Values.([]table.Value)[row] = numbers[i].Written(q.Unit)
	}
	f.feasible[row], f.outcome[row] = feasible, outcome
}

// Table returns the first n rows, which it shares with f.
func (f *Flights) Table(n int) table.Table { return table.Table{Columns: f.columns}.Slice(0, n) }
