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
	whole         bool // a count, shown without decimals
}

// workshop holds the units that differ from the SI unit of a quantity.
var workshop = map[string]shown{
	"1":     {scale: 1},
	"rad":   {unit: "deg", scale: 180 / math.Pi},
	"kg":    {unit: "g", scale: 1e3},
	"1/Pa":  {unit: "%/bar", scale: 1e7},
	"Pa":    {unit: "bar", scale: 1e-5},
	"m3":    {unit: "l", scale: 1e3},
	"m/s2":  {unit: "gn", scale: 1 / 9.80665}, // standard gravity, exact by definition
	"K":     {unit: "degC", scale: 1, offset: -273.15},
	"kg/m3": {unit: "g/cm3", scale: 1e-3},
}

// display returns how to show a quantity. Lengths on the rocket are in mm;
// those of a flight or a site are in m.
func display(q Quantity) shown {
	if section, _, dotted := strings.Cut(q.Key, "."); q.Unit == "m" && dotted && section != "site" {
		return shown{unit: "mm", scale: 1e3}
	}
	if strings.HasSuffix(q.Key, ".count") {
		return shown{scale: 1, whole: true}
	}
	if s, ok := workshop[q.Unit]; ok {
		return s
	}
	return shown{unit: q.Unit, scale: 1}
}

func (s shown) number(v float64) string {
	if s.whole {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return three(v*s.scale + s.offset)
}

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

// three writes v with three significant figures, and with an exponent only
// where the zeros would hide them.
func three(v float64) string {
	if v == 0 {
		return "0"
	}
	short := strconv.FormatFloat(v, 'e', 2, 64)
	_, exponent, _ := strings.Cut(short, "e")
	power, err := strconv.Atoi(exponent)
	if err != nil || power < -4 || power > 6 {
		return short
	}
	rounded, err := strconv.ParseFloat(short, 64)
	if err != nil {
		return short
	}
	return strconv.FormatFloat(rounded, 'f', max(0, 2-power), 64)
}
