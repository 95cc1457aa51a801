package fit

import (
	"strings"

	"ullage/optimize/brief"
)

// A Kind is what a column of a log holds.
type Kind int

// The kinds of columns that a log may have. Height is above the pad or above
// any other level; Speed is upward; Acceleration is what an accelerometer on
// the long axis feels, 1 gn at rest; Thrust is that on a test stand, where the
// weight of the water does not load the cell.
const (
	Time Kind = iota
	Height
	Pressure
	Speed
	Acceleration
	Thrust
	kinds int = iota
)

var kindInfos = [kinds]struct {
	name, si string
	words    []string // in a header, in lower case
}{
	Time:         {"time", "s", []string{"time", "t", "timestamp", "elapsed", "millis", "seconds"}},
	Height:       {"height", "m", []string{"height", "altitude", "alt", "agl", "h", "z"}},
	Pressure:     {"pressure", "Pa", []string{"pressure", "press", "baro", "p"}},
	Speed:        {"speed", "m/s", []string{"speed", "velocity", "vel", "vz", "v"}},
	Acceleration: {"acceleration", "m/s2", []string{"acceleration", "accel", "acc", "a"}},
	Thrust:       {"thrust", "N", []string{"thrust", "force", "f"}},
}

// String returns the kind as in an option, "height" for Height.
func (k Kind) String() string { return kindInfos[k].name }

// KindOf returns the kind of that name.
func KindOf(name string) (Kind, bool) {
	for k := range Kind(kinds) {
		if k.String() == name {
			return k, true
		}
	}
	return 0, false
}

// Columns says what the header of a log does not: the name of a column, or its
// number from 1, and its unit. The zero Columns leaves all to the header.
type Columns struct {
	Name, Unit [kinds]string

	// Rate is how many rows a log without times has in a second; above 0 the
	// time comes from the number of the sample, in its column or by counting.
	Rate float64
}

// sampleWords name a column of sample numbers.
var sampleWords = []string{"sample", "samples", "index", "count", "counter", "row", "no", "n", "#"}

// words returns what a header calls the kind.
func (c *Columns) words(k Kind) []string {
	if k == Time && c.Rate > 0 {
		return sampleWords
	}
	return kindInfos[k].words
}

// A column is where a log holds a kind, and what its numbers are in SI.
type column struct {
	at    int // −1: nowhere
	label string
	unit  string
	times float64 // beyond the unit
}

// aliases are units that loggers write in their own way.
var aliases = map[string]struct {
	unit  string
	times float64
}{
	"sec": {"s", 1}, "secs": {"s", 1}, "second": {"s", 1}, "seconds": {"s", 1}, "msec": {"ms", 1}, "millis": {"ms", 1}, "us": {"ms", 1e-3}, "µs": {"ms", 1e-3}, "ns": {"ms", 1e-6},
	"meter": {"m", 1}, "meters": {"m", 1}, "metre": {"m", 1}, "metres": {"m", 1}, "feet": {"ft", 1}, "foot": {"ft", 1}, "km": {"m", 1e3},
	"pa": {"Pa", 1}, "hpa": {"hPa", 1}, "kpa": {"kPa", 1}, "mbar": {"hPa", 1}, "millibar": {"hPa", 1},
	"mps": {"m/s", 1}, "ft/s": {"ft/s", 1}, "fps": {"ft/s", 1}, "kmh": {"km/h", 1},
	"m/s^2": {"m/s2", 1}, "m/s²": {"m/s2", 1}, "g's": {"g", 1}, "gs": {"g", 1},
}

// resolve returns the unit of a brief behind what a header says, and whether
// the kind has it.
func resolve(k Kind, written string) (unit string, times float64, ok bool) {
	unit, times = written, 1
	if a, known := aliases[strings.ToLower(written)]; known {
		if _, same := brief.ToSI(1, written, kindInfos[k].si); !same {
			unit, times = a.unit, a.times
		}
	}
	if unit == "ft/s" && k == Speed {
		perFoot, _ := brief.ToSI(1, "ft", "m")
		return "m/s", times * perFoot, true
	}
	_, ok = brief.ToSI(1, unit, kindInfos[k].si)
	return unit, times, ok
}

// label splits the cell of a header into its words and its unit: "Height (ft)",
// "time [ms]", "alt_m", "speed, m/s".
func label(cell string) (words []string, unit string) {
	cell = strings.TrimSpace(cell)
	if i := strings.IndexAny(cell, "([{"); i >= 0 {
		unit = strings.TrimSpace(strings.Trim(cell[i:], "()[]{} "))
		cell = cell[:i]
	}
	words = strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(" _,;:.", r) })
	if unit != "" || len(words) < 2 {
		return lower(words), unit
	}
	// "speed_m_s": a unit of two words; else one word.
	if n := len(words); n > 2 {
		pair := words[n-2] + "/" + words[n-1]
		if known(pair) {
			return lower(words[:n-2]), pair
		}
	}
	if last := words[len(words)-1]; known(last) {
		return lower(words[:len(words)-1]), last
	}
	return lower(words), ""
}

func known(unit string) bool {
	for k := range Kind(kinds) {
		if _, _, ok := resolve(k, unit); ok {
			return true
		}
	}
	return false
}

func lower(words []string) []string {
	for i, w := range words {
		words[i] = strings.ToLower(w)
	}
	return words
}
