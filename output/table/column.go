package table

import "encoding/json"

// A Role says what a column is for.
type Role string

// The roles, as they are written to the field metadata.
const (
	Identity Role = "identity"
	Varied   Role = "varied"
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

	// Values is []float64, []Value, []int32, []bool, []string or [][]string,
	// in written units. Only a column of []Value may hold nulls.
	Values any
}

// A Value is a number that may not apply: a canopy's figures on a ballistic
// landing, say. The zero Value does not apply.
type Value struct {
	Number  float64
	Applies bool
}

// Of returns the Value of a number and whether it applies, as
// model.Flight.Figure returns them.
func Of(number float64, applies bool) Value {
	if !applies {
		return Value{}
	}
	return Value{number, true}
}

// MarshalJSON writes the number, or null where it does not apply.
func (v Value) MarshalJSON() ([]byte, error) {
	if !v.Applies {
		return []byte("null"), nil
	}
	return json.Marshal(v.Number)
}

// A Quantity is something that has a column: a varied quantity, a figure, a
// goal, a limit or a series of a trajectory.
type Quantity struct {
	Key   string // as in a brief: "apogee", "fins.span"
	Unit  string // of its SI value: "m", "rad", "1" for a ratio
	Sense string // of a goal: "highest", "lowest", "nearest 100 m"; of a limit: what Bounds returns; else empty
	Doc   string
}

// Written converts a number in SI, as the function of that name does.
func (v Value) Written(unit string) Value {
	if !v.Applies {
		return v
	}
	return Value{Written(v.Number, unit), true}
}

// Gather returns one value of each row.
func Gather[R, T any](rows []R, value func(R) T) []T {
	values := make([]T, len(rows))
	for i, r := range rows {
		values[i] = value(r)
	}
	return values
}
