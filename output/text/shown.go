package text

import (
	"math"
	"strconv"
	"strings"

	"ullage/optimize/brief"
)

// A Shown is the unit in which people are shown a quantity, on terminals, pages
// and cards: number = value·Scale + Offset, with the value in SI.
type Shown struct {
	Unit          string
	Scale, Offset float64
	whole         bool // a count, shown without decimals
	word          func(v float64) string
}

// workshop holds the units that differ from the SI unit of a quantity.
var workshop = map[string]Shown{
	"1":     {Scale: 1},
	"rad":   {Unit: "deg", Scale: 180 / math.Pi},
	"kg":    {Unit: "g", Scale: 1e3},
	"1/Pa":  {Unit: "%/bar", Scale: 1e7},
	"Pa":    {Unit: "bar", Scale: 1e-5},
	"m3":    {Unit: "l", Scale: 1e3},
	"m/s2":  {Unit: "gn", Scale: 1 / 9.80665}, // standard gravity, exact by definition
	"K":     {Unit: "degC", Scale: 1, Offset: -273.15},
	"kg/m3": {Unit: "g/cm3", Scale: 1e-3},
}

// Show returns how to show the quantity or the figure of that key and SI unit.
// Lengths on the rocket, such as fins.span, are in mm; those of a flight or a site
// are in m.
func Show(key, unit string) Shown {
	if section, _, dotted := strings.Cut(key, "."); unit == "m" && dotted && section != "site" {
		return Shown{Unit: "mm", Scale: 1e3}
	}
	if q := brief.QuantityByKey(key); q != nil && q.Names != nil {
		return Shown{Scale: 1, word: q.Name}
	}
	if strings.HasSuffix(key, ".count") {
		return Shown{Scale: 1, whole: true}
	}
	if s, ok := workshop[unit]; ok {
		return s
	}
	return Shown{Unit: unit, Scale: 1}
}

// Number shows a value in SI, of a word its number, without the unit: to three
// figures, a mass of 100 g or more to a gram, a count whole, a word as it is.
func (s Shown) Number(v float64) string {
	if s.word != nil {
		return s.word(v)
	}
	// A scale shows whole grams, and a rocket is weighed to one.
	if grams := v * s.Scale; s.Unit == "g" && math.Abs(grams) >= 100 {
		return strconv.FormatFloat(grams, 'f', 0, 64)
	}
	if s.whole {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return Three(v*s.Scale + s.Offset)
}

// Difference shows a distance between two values, in SI, with its sign.
func (s Shown) Difference(v float64) string {
	text := Three(v * s.Scale)
	if v > 0 {
		text = "+" + text
	}
	return text
}

// Value is Number, with "-" for NaN, which stands for what is not there.
func (s Shown) Value(v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return s.Number(v)
}

// Three writes v with three significant figures, and with an exponent only
// where the zeros would hide them.
func Three(v float64) string {
	if v == 0 {
		return "0"
	}
	short := strconv.FormatFloat(v, 'e', 2, 64)
	_, exponent, _ := strings.Cut(short, "e")
	power, err := strconv.Atoi(exponent)
	if err != nil || power < -4 || power > 6 {
		return short
	}
	rounded, _ := strconv.ParseFloat(short, 64) // it is a number
	return strconv.FormatFloat(rounded, 'f', max(0, 2-power), 64)
}
