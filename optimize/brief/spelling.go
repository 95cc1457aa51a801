package brief

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// spellings are other ways in which people write units, folded as fold does,
// and the units' own names.
var spellings = map[string]string{
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
	"centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "micron": "um", "microns": "um",
	"inch": "in", "inches": "in", `"`: "in", "″": "in", "”": "in", "foot": "ft", "feet": "ft", "'": "ft", "′": "ft", "’": "ft",
	"kph": "km/h", "kmh": "km/h", "knot": "kn", "knots": "kn", "kt": "kn", "kts": "kn",
	"gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "kilogram": "kg", "kilograms": "kg", "kilo": "kg", "kgs": "kg",
	"pound": "lb", "pounds": "lb", "lbs": "lb", "ounce": "oz", "ounces": "oz",
	"bars": "bar", "sec": "s", "secs": "s", "second": "s", "seconds": "s",
	"degree": "deg", "degrees": "deg", "c": "degC", "celsius": "degC", "degcelsius": "degC", "℃": "degC", "℉": "degF", "f": "degF", "fahrenheit": "degF", "kelvin": "K",
	"newton": "N", "newtons": "N", "joule": "J", "joules": "J", "g/cc": "g/cm3", "g/ml": "g/cm3",
	"litre": "l", "litres": "l", "liter": "l", "liters": "l", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml",
	"cc": "cm3", "percent": "%", "pct": "%",
}

// signs are what keyboards offer for what the names of units have letters for.
var signs = strings.NewReplacer("²", "2", "³", "3", "^", "", "µ", "u", "μ", "u", "°", "deg", "º", "deg", "˚", "deg", "·", " ")

// fold makes spellings of a unit alike: without spaces, in small letters, with
// letters for signs.
func fold(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(signs.Replace(name)), ""))
}

// means reports whether people who write name mean the unit. A small m before
// Pa is refused: it may be a slip for a unit a thousand million times as large.
func (u unit) means(name string) bool {
	if u.name == name {
		return true
	}
	folded := fold(name)
	if u.name == "MPa" {
		return folded == "mpa" && name[0] == 'M'
	}
	return folded == fold(u.name) || spellings[folded] == u.name
}

// nearestUnit returns the unit of a dimension that name most likely was meant
// to be, or "".
func nearestUnit(name, si string) string {
	if len(name) < 2 {
		return "" // any unit of a letter is one slip away
	}
	return nearest(fold(name), unitNames(si))
}

// plainText replaces what only looks like a space or a minus.
func plainText(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '−':
			return '-'
		case unicode.IsSpace(r):
			return ' '
		}
		return r
	}, s)
}

var (
	commaPattern    = regexp.MustCompile(`^( *[+-]?\d+),(\d+)`)
	thousandPattern = regexp.MustCompile(`^ *[+-]?[1-9]\d{0,2},\d{3}(?:\D|$)`)
)

// pointed replaces the comma of a decimal number by a point, unless it may part
// thousands.
func pointed(s string) string {
	if thousandPattern.MatchString(s) {
		return s
	}
	return commaPattern.ReplaceAllString(s, "$1.$2")
}

// eitherWay returns what a number may mean whose comma may part thousands, and
// whether it is one.
func eitherWay(s string) ([]string, bool) {
	s = strings.TrimSpace(plainText(s))
	if !thousandPattern.MatchString(s) {
		return nil, false
	}
	return []string{strings.Replace(s, ",", ".", 1), strings.Replace(s, ",", "", 1)}, true
}

// unitPattern is the part of a regular expression that matches what means one
// of these units, for readers that cannot ignore case.
func unitPattern(names []string) string {
	var all []string
	for _, name := range names {
		all = append(all, anyCase(name))
		for spelled, unit := range spellings {
			if unit == name {
				all = append(all, anyCase(spelled))
			}
		}
	}
	slices.Sort(all)
	return strings.Join(slices.Compact(all), "|")
}

// written are the ways to write a letter of a folded unit.
var written = map[string]string{"2": `(\^?2|²)`, "3": `(\^?3|³)`, "u": "[uUµμ]", "deg": "([dD][eE][gG]|[°º˚]) *", " ": "[ ·]?"}

// anyCase matches a name in small and capital letters, and with signs.
func anyCase(name string) string {
	if name == "MPa" {
		return "M[pP][aA]"
	}
	rest, after := strings.CutPrefix(name, "deg")
	var b strings.Builder
	if after {
		b.WriteString(written["deg"])
	}
	for _, r := range rest {
		switch w := written[string(r)]; {
		case w != "":
			b.WriteString(w)
		case unicode.IsLetter(r):
			b.WriteString("[" + string(unicode.ToLower(r)) + string(unicode.ToUpper(r)) + "]")
		default:
			b.WriteString(regexp.QuoteMeta(string(r)))
		}
	}
	return b.String()
}
