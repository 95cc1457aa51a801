package text

import (
	"strings"

	"ullage/output/table"
)

// A Column is one column of a table that people read: cells under a heading of three
// lines, which are section, name and unit.
type Column struct {
	Head  [3]string
	Cells []string
}

// ColumnOf returns the column of values, in SI, of the quantity or the figure of
// that key and SI unit, as Show has them.
func ColumnOf(key, unit string, values []float64) Column {
	section, name, dotted := strings.Cut(key, ".")
	if !dotted {
		section, name = "", key
	}
	s := Show(key, unit)
	return Column{Head: [3]string{section, name, s.Unit}, Cells: table.Gather(values, s.Value)}
}
