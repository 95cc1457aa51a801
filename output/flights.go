package output

import (
	"slices"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/table"
)

// Numbers returns what a sweep keeps of each flight beside the varied
// quantities: every goal and every limited number that is none of them, once.
func Numbers(b *brief.Brief) []brief.Metric {
	var numbers []brief.Metric
	add := func(m brief.Metric) {
		varied := slices.ContainsFunc(b.Vary, func(v brief.Vary) bool { return v.Key == m.Key })
		if !varied && !slices.ContainsFunc(numbers, func(n brief.Metric) bool { return n.Key == m.Key }) {
			numbers = append(numbers, m)
		}
	}
	for i := range b.Goals {
		add(b.Goals[i].Metric)
	}
	for i := range b.Limits {
		add(b.Limits[i].Metric)
	}
	return numbers
}

// Flights are rows of a sweep that are set one by one. Several goroutines may
// set rows at a time, each its own.
type Flights struct {
	columns  []table.Column
	varied   []brief.Vary
	numbers  []brief.Metric
	feasible []bool
	outcome  []string
}

// NewFlights returns n rows: every varied quantity, Numbers, feasible and
// outcome.
func NewFlights(b *brief.Brief, n int) *Flights {
	f := &Flights{varied: b.Vary, numbers: Numbers(b), feasible: make([]bool, n), outcome: make([]string, n)}
	for _, q := range f.varied {
		c := column(b, table.Varied, q.Key, q.Unit, q.Doc)
		c.Values = make([]float64, n)
		f.columns = append(f.columns, c)
	}
	for _, m := range f.numbers {
		c := column(b, table.Figure, m.Key, m.Unit, m.Doc)
		c.Values = make(table.Nullable, n)
		f.columns = append(f.columns, c)
	}
	f.columns = append(f.columns,
		identity("feasible", "meets every limit", f.feasible),
		identity("outcome", "landed, or why the flight could not be computed", f.outcome))
	return f
}

// Set gives a row its design, in SI, and what was kept of its flight, whose
// Numbers are those of Numbers.
func (f *Flights) Set(row int, x []float64, k *study.Kept) {
	for i, q := range f.varied {
		f.columns[i].Values.([]float64)[row] = table.Written(x[i], q.Unit)
	}
	for i, m := range f.numbers {
		f.columns[len(f.varied)+i].Values.(table.Nullable)[row] = table.Written(k.Numbers[i], m.Unit)
	}
	f.feasible[row], f.outcome[row] = k.Feasible, k.Outcome
}

// Table returns the first n rows, which it shares with f.
func (f *Flights) Table(n int) table.Table { return table.Table{Columns: f.columns}.Slice(0, n) }
