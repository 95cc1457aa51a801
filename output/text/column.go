package text

import (
	"strings"

	"ullage/output/table"
)

// A Column is one column of numbers under a heading of three lines:
// section, name, unit.
type Column struct {
	Head  [3]string
	Cells []string
}

// ColumnOf returns the column of a number of an SI unit.
func ColumnOf(key, unit string, values []float64) Column {
	section, name, dotted := strings.Cut(key, ".")
	if !dotted {
		section, name = "", key
	}
	s := Show(key, unit)
	return Column{Head: [3]string{section, name, s.Unit}, Cells: table.Gather(values, s.Value)}
}
