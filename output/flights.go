package output

import (
	"cmp"
	"slices"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/runs"
	"ullage/output/table"
)

// Numbers returns what a sweep keeps of each flight beside the varied
// quantities: every goal and every limited number that is none of them, once.
func Numbers(b *brief.Brief) []brief.Metric {
	var numbers []brief.Metric
	add := func(m brief.Metric) {
		if !differs(b, m.Key) && !slices.ContainsFunc(numbers, func(n brief.Metric) bool { return n.Key == m.Key }) {
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
	run      string
	columns  []table.Column
	settings []Setting
	numbers  []brief.Metric
	flight   []int64
	feasible []bool
	outcome  []string
}

// NewFlights returns n rows of a run with that id: every varied quantity, Numbers,
// the number of the flight, feasible and outcome.
func NewFlights(b *brief.Brief, run string, n int) *Flights {
	f := &Flights{run: run, settings: Settings(b), numbers: Numbers(b), flight: make([]int64, n), feasible: make([]bool, n), outcome: make([]string, n)}
	for _, s := range f.settings {
		f.columns = append(f.columns, s.column(b, n))
	}
	for _, m := range f.numbers {
		c := column(b, table.Figure, m.Key, m.Unit, m.Doc)
		c.Values = make(table.Nullable, n)
		f.columns = append(f.columns, c)
	}
	f.columns = append(f.columns,
		identity("flight", "number of the flight in the order of the plan, from 1", f.flight),
		identity("feasible", "meets every limit", f.feasible),
		identity("outcome", "landed, or why the flight could not be computed", f.outcome))
	return f
}

// Set gives a row the number of its flight, from 1, its design, in SI, and what
// was kept of the flight, whose Numbers are those of Numbers.
func (f *Flights) Set(row int, flight int64, x []float64, k *study.Kept) {
	for i, s := range f.settings {
		s.put(&f.columns[i], row, x)
	}
	for i, m := range f.numbers {
		f.columns[len(f.settings)+i].Values.(table.Nullable)[row] = table.Written(k.Numbers[i], m.Unit)
	}
	f.flight[row], f.feasible[row], f.outcome[row] = flight, k.Feasible, k.Outcome
}

// Table returns the first n rows, which it brings into the order of the first
// varied quantity and then of the flights, so that whoever looks for some values
// of that quantity finds them in few groups of rows. Behind them stands the run's
// id. The table shares its rows with f.
func (f *Flights) Table(n int) table.Table {
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		of := 0
		switch first := f.columns[0].Values.(type) {
		case []float64:
			of = cmp.Compare(first[a], first[b])
		case []string:
			of = cmp.Compare(first[a], first[b])
		}
		return cmp.Or(of, cmp.Compare(f.flight[a], f.flight[b]))
	})
	for _, c := range f.columns {
		switch v := c.Values.(type) {
		case []float64:
			arrange(v, order)
		case table.Nullable:
			arrange(v, order)
		case []int64:
			arrange(v, order)
		case []bool:
			arrange(v, order)
		case []string:
			arrange(v, order)
		}
	}
	t := table.Table{Columns: f.columns}.Slice(0, n)
	t.Columns = append(t.Columns, identity("run_id", "id of the run, as in its constants.parquet", slices.Repeat([]string{f.run}, n)))
	return t
}

// arrange brings the first values into an order.
func arrange[T any](values []T, order []int32) {
	arranged := make([]T, len(order))
	for i, from := range order {
		arranged[i] = values[from]
	}
	copy(values, arranged)
}

// Constants returns what the flights of a sweep of b share, in one row: the run's
// id, the hash of the brief, and every quantity that is not varied.
func Constants(b *brief.Brief, run string) table.Table {
	return table.Table{Columns: append([]table.Column{
		identity("run_id", "id of the run, as in its flights", []string{run}),
		identity("brief_sha256", "SHA-256 of the brief's bytes, in hex", []string{runs.Hash(b.Source)}),
	}, fixed(b, 1)...)}
}
