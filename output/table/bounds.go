package table

import (
	"math"
	"strconv"
)

// Bounds words a limit on a quantity of an SI unit, for the Sense of its
// Quantity: "at_least 1", "at_most 75" or both, as numbers of the written unit,
// after "size" where the limit acts on the number without its sign. A bound is
// an SI value; an infinite one is none.
func Bounds(atLeast, atMost float64, size bool, unit string) string {
	text := ""
	if size {
		text = "size "
	}
	if !math.IsInf(atLeast, 0) {
		text += "at_least " + strconv.FormatFloat(Written(atLeast, unit), 'g', -1, 64)
		if !math.IsInf(atMost, 0) {
			text += " "
		}
	}
	if !math.IsInf(atMost, 0) {
		text += "at_most " + strconv.FormatFloat(Written(atMost, unit), 'g', -1, 64)
	}
	return text
}
