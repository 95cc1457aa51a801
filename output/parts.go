package output

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
)

const flightsFolder = "flights"

// partGroup is the number of rows that a reader must take at a time, and that
// the encoder copies at a time.
const partGroup = 1 << 16

// PartName returns the name in a run folder of a part of a sweep, from 1:
// flights/part-000001.parquet.
func PartName(number int) string {
	return fmt.Sprintf("%s/part-%06d.parquet", flightsFolder, number)
}

// WritePart writes part number of a sweep, from 1, whole or not at all, and
// returns its SHA-256 in hex. Parts may be written in any order and again.
func (f *Folder) WritePart(number int, t Table) (string, error) {
	name := PartName(number)
	path := filepath.Join(f.Dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return "", fmt.Errorf("create %s: %w", filepath.Dir(path), cause(err))
	}
	data, err := encodeParquet(t, f.Meta, partGroup)
	if err != nil {
		return "", fmt.Errorf("write %s: %w", path, err)
	}
	if err := f.WriteFile(name, data); err != nil {
		return "", err
	}
	return f.files[name], nil
}

// PartBytes returns what a row of t takes in a part of many.
func PartBytes(t Table, m Meta) (float64, error) {
	none, err := encodeParquet(t.slice(0, 0), m, partGroup)
	if err != nil {
		return 0, err
	}
	all, err := encodeParquet(t, m, partGroup)
	if err != nil {
		return 0, err
	}
	return float64(len(all)-len(none)) / float64(max(t.Rows(), 1)), nil
}

// slice returns the rows from ≤ i < to, which share memory with t.
func (t Table) slice(from, to int) Table {
	out := Table{Columns: slices.Clone(t.Columns)}
	for i := range out.Columns {
		c := &out.Columns[i]
		switch v := c.Values.(type) {
		case []float64:
			c.Values = v[from:to]
		case []Value:
			c.Values = v[from:to]
		case []int32:
			c.Values = v[from:to]
		case []bool:
			c.Values = v[from:to]
		case []string:
			c.Values = v[from:to]
		case [][]string:
			c.Values = v[from:to]
		}
	}
	return out
}

// Numbers returns what a sweep keeps of each flight beside the varied
// quantities: every goal and every limited number that is none of them, once.
func (l Layout) Numbers() []Quantity {
	var numbers []Quantity
	for _, q := range slices.Concat(l.Goals, l.Limits) {
		same := func(other Quantity) bool { return other.Key == q.Key }
		if !slices.ContainsFunc(l.Varied, same) && !slices.ContainsFunc(numbers, same) {
			numbers = append(numbers, q)
		}
	}
	return numbers
}

// Flights are rows of a sweep that are set one by one. Several goroutines may
// set rows at a time, each its own.
type Flights struct {
	columns  []Column
	varied   []Quantity
	numbers  []Quantity
	feasible []bool
	outcome  []string
}

// NewFlights returns n rows: every varied quantity, Numbers, feasible and
// outcome.
func (l Layout) NewFlights(n int) *Flights {
	f := &Flights{varied: l.Varied, numbers: l.Numbers(), feasible: make([]bool, n), outcome: make([]string, n)}
	for _, q := range f.varied {
		c := l.column(q, Varied)
		c.Values = make([]float64, n)
		f.columns = append(f.columns, c)
	}
	for _, q := range f.numbers {
		c := l.column(q, Figure)
		c.Values = make([]Value, n)
		f.columns = append(f.columns, c)
	}
	f.columns = append(f.columns,
		identity("feasible", "meets every limit", f.feasible),
		identity("outcome", "landed, or why the flight could not be computed", f.outcome))
	return f
}

// Set gives a row its values, in SI: x is parallel to the varied quantities,
// numbers to Numbers.
func (f *Flights) Set(row int, x []float64, numbers []Value, feasible bool, outcome string) {
	for i, q := range f.varied {
		f.columns[i].Values.([]float64)[row] = written(x[i], q.Unit)
	}
	for i, q := range f.numbers {
		f.columns[len(f.varied)+i].Values.([]Value)[row] = numbers[i].written(q.Unit)
	}
	f.feasible[row], f.outcome[row] = feasible, outcome
}

// Table returns the first n rows, which it shares with f.
func (f *Flights) Table(n int) Table { return Table{Columns: f.columns}.slice(0, n) }
