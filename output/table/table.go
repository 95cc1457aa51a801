package table

import (
	"fmt"
	"math"
	"slices"
	"unicode/utf8"
)

// A Table is columns of one length.
type Table struct {
	Columns []Column
}

// Rows returns the number of rows.
func (t Table) Rows() int {
	if len(t.Columns) == 0 {
		return 0
	}
	return length(t.Columns[0].Values)
}

// length returns the number of values, or −1 for a type that no column has.
func length(values any) int {
	switch v := values.(type) {
	case []float64:
		return len(v)
	case Nullable:
		return len(v)
	case []int32:
		return len(v)
	case []int64:
		return len(v)
	case []bool:
		return len(v)
	case []string:
		return len(v)
	case [][]string:
		return len(v)
	}
	return -1
}

// check returns the first reason why the table cannot be written. The file
// libraries would write most of these without a word.
func (t Table) check() error {
	if len(t.Columns) == 0 {
		return fmt.Errorf("table: 0 columns, want at least 1")
	}
	names := map[string]bool{}
	for _, c := range t.Columns {
		if c.Name == "" || names[c.Name] {
			return fmt.Errorf("column %q: the name is empty or used twice", c.Name)
		}
		names[c.Name] = true
		n := length(c.Values)
		if n < 0 {
			return fmt.Errorf("column %s: values of type %T, want numbers, truth values or text", c.Name, c.Values)
		}
		if n != t.Rows() {
			return fmt.Errorf("column %s: %d rows, want %d", c.Name, n, t.Rows())
		}
		if err := c.check(); err != nil {
			return err
		}
	}
	return nil
}

func (c Column) check() error {
	bad := func(row int, v any) error {
		return fmt.Errorf("column %s row %d: %v, want a finite number or valid UTF-8", c.Name, row+1, v)
	}
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	switch values := c.Values.(type) {
	case []float64:
		for i, v := range values {
			if !finite(v) {
				return bad(i, v)
			}
		}
	case Nullable:
		for i, v := range values {
			if math.IsInf(v, 0) {
				return bad(i, v)
			}
		}
	case []string:
		for i, v := range values {
			if !utf8.ValidString(v) {
				return bad(i, fmt.Sprintf("%q", v))
			}
		}
	case [][]string:
		for i, list := range values {
			for _, v := range list {
				if !utf8.ValidString(v) {
					return bad(i, fmt.Sprintf("%q", v))
				}
			}
		}
	}
	return nil
}

// Slice returns the rows from ≤ i < to, which share memory with t.
func (t Table) Slice(from, to int) Table {
	out := Table{Columns: slices.Clone(t.Columns)}
	for i := range out.Columns {
		c := &out.Columns[i]
		switch v := c.Values.(type) {
		case []float64:
			c.Values = v[from:to]
		case Nullable:
			c.Values = v[from:to]
		case []int32:
			c.Values = v[from:to]
		case []int64:
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
