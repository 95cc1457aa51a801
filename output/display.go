package output

import (
	"math"
	"strconv"
	"strings"
)

// A shown is the unit in which a terminal shows a quantity:
// number = value·scale + offset.
type shown struct {
	unit          string
	scale, offset float64
}

// workshop holds the units that differ from the SI unit of a quantity.
var workshop = map[string]shown{
	"1":     {"", 1, 0},
	"rad":   {"deg", 180 / math.Pi, 0},
	"kg":    {"g", 1e3, 0},
	"Pa":    {"bar", 1e-5, 0},
	"m3":    {"l", 1e3, 0},
	"m/s2":  {"gn", 1 / 9.80665, 0}, // standard gravity, exact by definition
	"K":     {"degC", 1, -273.15},
	"kg/m3": {"g/cm3", 1e-3, 0},
}

// display returns how to show a quantity. Lengths on the rocket are in mm;
// those of a flight or a site are in m.
func display(q Quantity) shown {
	if section, _, dotted := strings.Cut(q.Key, "."); q.Unit == "m" && dotted && section != "site" {
		return shown{"mm", 1e3, 0}
	}
	if s, ok := workshop[q.Unit]; ok {
		return s
	}
	return shown{q.Unit, 1, 0}
}

func (s shown) number(v float64) string { return three(v*s.scale + s.offset) }

// difference shows a distance between two values, with its sign.
func (s shown) difference(v float64) string {
	text := three(v * s.scale)
	if v > 0 {
		text = "+" + text
	}
	return text
}

// value shows a number that may not apply.
func (s shown) value(v Value) string {
	if !v.Applies {
		return "-"
	}
	return s.number(v.Number)
}

// three writes v with three significant figures and no exponent.
func three(v float64) string {
	if v == 0 {
		return "0"
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64)
	if err != nil {
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	return strconv.FormatFloat(rounded, 'f', decimals(rounded), 64)
}

// decimals returns how many decimals show three significant figures of v,
// which already has no more than three.
func decimals(v float64) int {
	return max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
}
