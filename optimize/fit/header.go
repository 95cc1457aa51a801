package fit

import (
	"fmt"
	"slices"
	"strconv"
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

// columns finds the columns of a log whose first row is header; without a
// header that row holds numbers.
func (c *Columns) columns(header []string, hasHeader bool) (found [kinds]column, err error) {
	for k := range Kind(kinds) {
		if found[k], err = c.find(k, header, hasHeader); err != nil {
			return found, err
		}
	}
	if found[Time].at < 0 || found[Height].at < 0 && found[Pressure].at < 0 && found[Thrust].at < 0 {
		return found, fmt.Errorf("columns %s, want a time and a height, a pressure or a thrust, by name or by --column", quoted(header))
	}
	if found[Height].at >= 0 || found[Pressure].at >= 0 {
		found[Thrust].at = -1 // nothing in flight measures it
	}
	if found[Height].at >= 0 && found[Pressure].at >= 0 {
		found[Pressure].at = -1 // the logger made its height of it
		if c.Name[Pressure] != "" && c.Name[Height] == "" {
			return found, fmt.Errorf("both a height and a pressure, want one: name the height's column, or leave the pressure's out")
		}
	}
	for k := range Kind(kinds) {
		if err := c.setUnit(k, &found[k]); err != nil {
			return found, err
		}
	}
	return found, nil
}

// find returns the column of a kind: the one that was named, or the only one
// whose header speaks of it.
func (c *Columns) find(k Kind, header []string, hasHeader bool) (column, error) {
	name := c.Name[k]
	if name != "" {
		if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(header) {
			return columnAt(n-1, header, hasHeader), nil
		}
		for i, cell := range header {
			if hasHeader && strings.EqualFold(strings.TrimSpace(cell), strings.TrimSpace(name)) {
				return columnAt(i, header, hasHeader), nil
			}
		}
		return column{}, fmt.Errorf("--column %s=%s: no such column, want one of %s or a number up to %d", k, name, quoted(header), len(header))
	}
	found := column{at: -1}
	if !hasHeader {
		return found, nil
	}
	for i, cell := range header {
		words, _ := label(cell)
		if !slices.ContainsFunc(words, func(w string) bool { return slices.Contains(kindInfos[k].words, w) }) || c.taken(k, i, header) {
			continue
		}
		if found.at < 0 {
			found = columnAt(i, header, true)
			continue
		}
		if k == Speed || k == Acceleration { // several axes, say: which is meant is not for us to guess
			return column{at: -1}, nil
		}
		return found, fmt.Errorf("columns %q and %q both look like a %s, want --column %s=NAME", header[found.at], cell, k, k)
	}
	return found, nil
}

// taken reports whether a column was named for another kind.
func (c *Columns) taken(k Kind, i int, header []string) bool {
	for other := range Kind(kinds) {
		name := c.Name[other]
		if other != k && name != "" && (strings.EqualFold(strings.TrimSpace(header[i]), name) || strconv.Itoa(i+1) == name) {
			return true
		}
	}
	return false
}

func columnAt(i int, header []string, hasHeader bool) column {
	col := column{at: i, label: fmt.Sprintf("column %d", i+1)}
	if hasHeader {
		col.label = fmt.Sprintf("column %q", strings.TrimSpace(header[i]))
		_, col.unit = label(header[i])
	}
	return col
}

// setUnit settles the unit of a column.
func (c *Columns) setUnit(k Kind, col *column) error {
	if col.at < 0 {
		return nil
	}
	if c.Unit[k] != "" {
		col.unit = c.Unit[k]
	}
	want := strings.Join(brief.UnitNames(kindInfos[k].si), ", ")
	if col.unit == "" {
		return fmt.Errorf("%s: a %s without a unit, want it in the header or by --unit %s=UNIT, one of %s", col.label, k, k, want)
	}
	unit, times, ok := resolve(k, col.unit)
	if !ok {
		return fmt.Errorf("%s: unit %q, want one of %s", col.label, col.unit, want)
	}
	col.unit, col.times = unit, times
	return nil
}

// quoted lists the cells of a header, the first few of many.
func quoted(cells []string) string {
	var out []string
	for i, cell := range cells {
		if i == 8 {
			out = append(out, "…")
			break
		}
		if cell = strings.TrimSpace(cell); len(cell) > 40 {
			cell = cell[:40] + "…"
		}
		out = append(out, strconv.Quote(cell))
	}
	return strings.Join(out, ", ")
}
