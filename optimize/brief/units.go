package brief

import (
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// A unit is one that a brief may use: SI value = (number + zero)·times/over.
type unit struct {
	name        string
	si          string // unit of the same dimension that the model uses
	times, over float64
	zero        float64 // of temperatures only: how far its zero lies above the absolute one
}

// toSI converts a number with this unit; a difference of temperatures has no
// zero.
func (u unit) toSI(v float64, difference bool) float64 {
	if !difference {
		v += u.zero
	}
	return v * u.times / u.over
}

// read converts a number as it is written and returns the float nearest to its
// SI value: "5.2 mm" is the float 0.0052, which 5.2/1000 in floats may miss by
// a last digit. Numbers in files can then be compared with what was typed.
func (u unit) read(number string, difference bool) float64 {
	v, err := strconv.ParseFloat(number, 64)
	if size := math.Abs(v); err != nil || v != 0 && (size < 1e-30 || size > 1e30) {
		return u.toSI(v, difference) // no quantity of a brief; its digits could fill the memory
	}
	x := rational(number)
	if !difference {
		x.Add(x, decimal(u.zero))
	}
	x.Mul(x, decimal(u.times))
	x.Quo(x, decimal(u.over))
	v, _ = x.Float64()
	return v
}

// decimal returns the shortest decimal that reads as v: of a factor that is
// exact in decimal, that factor.
func decimal(v float64) *big.Rat { return rational(strconv.FormatFloat(v, 'g', -1, 64)) }

// rational returns a decimal number that is written out.
func rational(number string) *big.Rat {
	x, ok := new(big.Rat).SetString(number)
	if !ok {
		panic("brief: " + number + " is no decimal number")
	}
	return x
}

// fromSI is the inverse of toSI.
func (u unit) fromSI(v float64) float64 { return v*u.over/u.times - u.zero }

// Factors are exact by definition: the international yard and pound (1959), the
// standard gravity and atmosphere (CGPM 1901, 1954), the nautical mile (1929).
const (
	inch       = 0.0254          // m
	pound      = 0.45359237      // kg
	gravity    = 9.80665         // m/s²
	poundForce = pound * gravity // N, one pound-force
	degree     = math.Pi / 180   // rad
	icePoint   = 273.15          // K
	zeroF      = 459.67          // °F above the absolute zero
)

// units lists every unit of a brief, the usual ones of a dimension first. A
// name may belong to two dimensions (g): the key settles which is meant.
var units = []unit{
	{"m", "m", 1, 1, 0},
	{"cm", "m", 1, 1e2, 0},
	{"mm", "m", 1, 1e3, 0},
	{"um", "m", 1, 1e6, 0},
	{"in", "m", inch, 1, 0},
	{"ft", "m", 12 * inch, 1, 0},
	{"m/s", "m/s", 1, 1, 0},
	{"km/h", "m/s", 1, 3.6, 0},
	{"mph", "m/s", 63360 * inch, 3600, 0},
	{"kn", "m/s", 1852, 3600, 0},
	{"kg", "kg", 1, 1, 0},
	{"g", "kg", 1, 1e3, 0},
	{"lb", "kg", pound, 1, 0},
	{"oz", "kg", pound, 16, 0},
	{"bar", "Pa", 1e5, 1, 0},
	{"Pa", "Pa", 1, 1, 0},
	{"hPa", "Pa", 1e2, 1, 0},
	{"mbar", "Pa", 1e2, 1, 0},
	{"kPa", "Pa", 1e3, 1, 0},
	{"MPa", "Pa", 1e6, 1, 0},
	{"GPa", "Pa", 1e9, 1, 0},
	{"psi", "Pa", poundForce, inch * inch, 0},
	{"atm", "Pa", 101325, 1, 0},
	{"s", "s", 1, 1, 0},
	{"ms", "s", 1, 1e3, 0},
	{"deg", "rad", degree, 1, 0},
	{"rad", "rad", 1, 1, 0},
	{"degC", "K", 1, 1, icePoint},
	{"degF", "K", 5, 9, zeroF},
	{"K", "K", 1, 1, 0},
	{"N", "N", 1, 1, 0},
	{"kN", "N", 1e3, 1, 0},
	{"lbf", "N", poundForce, 1, 0},
	{"N s", "N s", 1, 1, 0},
	{"J", "J", 1, 1, 0},
	{"kg/m3", "kg/m3", 1, 1, 0},
	{"g/cm3", "kg/m3", 1e3, 1, 0},
	{"l", "m3", 1, 1e3, 0},
	{"ml", "m3", 1, 1e6, 0},
	{"cl", "m3", 1, 1e5, 0},
	{"cm3", "m3", 1, 1e6, 0},
	{"m3", "m3", 1, 1, 0},
	{"gn", "m/s2", gravity, 1, 0},
	{"g", "m/s2", gravity, 1, 0},
	{"m/s2", "m/s2", 1, 1, 0},
	{"%", "1", 1, 1e2, 0},
	{"%/bar", "1/Pa", 1, 1e7, 0},
	{"%/psi", "1/Pa", inch * inch, 1e2 * poundForce, 0},
}

var percent, _ = unitOf("%", "1")

// A dimension is how faults speak of a kind of quantity.
type dimension struct{ name, example string }

// dimensions is indexed by SI unit. A ratio and a margin are bare numbers.
var dimensions = map[string]dimension{
	"m":     {"a length", `"9 mm"`},
	"m/s":   {"a speed", `"6 m/s"`},
	"kg":    {"a mass", `"80 g"`},
	"Pa":    {"a pressure", `"12 bar"`},
	"s":     {"a time", `"5.2 s"`},
	"rad":   {"an angle", `"2 deg"`},
	"K":     {"a temperature", `"17 degC"`},
	"N":     {"a force", `"400 N"`},
	"N s":   {"an impulse", `"60 N s"`},
	"J":     {"an energy", `"50 J"`},
	"kg/m3": {"a density", `"1600 kg/m3"`},
	"m3":    {"a volume", `"2 l"`},
	"m/s2":  {"an acceleration", `"20 gn"`},
	"1/Pa":  {"a growth", `"0.8 %/bar"`},
	"1":     {"a ratio", `0.3 or "30 %"`},
	"cal":   {"a number of body diameters", `1.5`},
}

// unitNames lists the names of a dimension's units.
func unitNames(si string) []string {
	var names []string
	for _, u := range units {
		if u.si == si {
			names = append(names, u.name)
		}
	}
	return names
}

// unitOf returns the unit of a dimension that people who write name mean.
func unitOf(name, si string) (unit, bool) {
	for _, u := range units {
		if u.si == si && u.means(name) {
			return u, true
		}
	}
	return unit{}, false
}

var amountPattern = regexp.MustCompile(`^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$`)

// amount splits a text into its number, as it is written but with a decimal
// point, and the name of its unit.
func amount(s string) (number, name string, ok bool) {
	m := amountPattern.FindStringSubmatch(pointed(plainText(s)))
	if m == nil {
		return "", "", false
	}
	_, err := strconv.ParseFloat(m[1], 64)
	return m[1], m[2], err == nil
}

// bare reads a TOML number; infinities and NaN are no numbers here.
func bare(s string) (float64, bool) {
	v, err := strconv.ParseFloat(strings.ReplaceAll(s, "_", ""), 64)
	if err != nil { // 0x, 0o, 0b
		var i int64
		i, err = strconv.ParseInt(s, 0, 64)
		v = float64(i)
	}
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}

// whatIs says what a text with an unsuitable unit is.
func whatIs(name string) (string, bool) {
	for _, u := range units {
		if u.means(name) {
			return dimensions[u.si].name, true
		}
	}
	return "", false
}
