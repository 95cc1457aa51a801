package table

import (
	"encoding/json"
	"math"
)

// A Role says what a column is for.
type Role string

// The roles, as they are written to the field metadata.
const (
	Identity Role = "identity"
	Varied   Role = "varied"
	Fixed    Role = "fixed" // could be varied
	Goal     Role = "goal"
	Figure   Role = "figure"
	Slack    Role = "slack"
)

// A Column is one column of a table. Name carries the unit ("apogee_m"); Unit
// is the same in words ("m", "1" for a ratio).
type Column struct {
	Name  string
	Unit  string
	Role  Role
	Sense string // of a goal: "highest", "lowest", "nearest 100 m"; of a slack: "at_most 75", see Bounds; else empty
	Doc   string
	Limit string // what a limit asks of the number, in the same words; empty: nothing

	// Values is []float64, Nullable, []int32, []int64, []bool, []string or [][]string,
	// in written units. Only a Nullable may hold nulls.
	Values any
}

// Nullable is a column of numbers that may not be there: a canopy's figures on
// a ballistic landing, say. Those are NaN, and null in a file.
type Nullable []float64

// A Number is one that JSON has as null where it is NaN, or beyond all numbers.
type Number float64

// MarshalJSON writes the number, or null; it never errs.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

// Gather returns one value of each row.
func Gather[R, T any](rows []R, value func(R) T) []T {
	values := make([]T, len(rows))
	for i, r := range rows {
		values[i] = value(r)
	}
	return values
}
