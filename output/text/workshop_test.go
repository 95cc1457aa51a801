package text_test

import (
	"math"
	"strconv"
	"testing"

	"ullage/output/text"
)

// Every unit of the workshop, with its factor: SI (Système international) as the BIPM
// brochure has it, the standard gravity of the CGPM of 1901, and zero Celsius, which
// is 273.15 K by definition. Each value is written as three figures show it.
func TestWorkshopUnits(t *testing.T) {
	for _, row := range []struct {
		key, unit, shown string
		v                float64
		want             string
	}{
		{"a", "1", "", 0.5, "0.500"},
		{"a", "rad", "deg", math.Pi, "180"},
		{"a", "kg", "g", 0.0123, "12.3"},
		{"a", "1/Pa", "%/bar", 1e-7, "1.00"},
		{"a", "Pa", "bar", 6.54e5, "6.54"},
		{"a", "m3", "l", 0.00123, "1.23"},
		{"a", "m/s2", "gn", 98.0665, "10.0"},
		{"a", "K", "degC", 300, "26.9"},
		{"a", "K", "degC", 273.15, "0"},
		{"a", "kg/m3", "g/cm3", 1234, "1.23"},
		{"a", "m", "m", 1.5, "1.50"},
		{"a", "m/s", "m/s", 12, "12.0"},
		{"a", "s", "s", 5.04, "5.04"},
		{"fins.span", "m", "mm", 0.1304, "130"},
		{"chamber.tube.length", "m", "mm", 0.3, "300"},
		{"site.guide", "m", "m", 1.2, "1.20"},
		{"fins.count", "1", "", 4, "4"},
		{"fins.count", "1", "", 12, "12"},
		{"fins.edges", "1", "", 1, "cut"},
		{"fins.edges", "1", "", 2, "radiused"},
		{"fins.edges", "1", "", 3, "faired"},
	} {
		s := text.Show(row.key, row.unit)
		if got := s.Value(row.v); got != row.want || s.Unit != row.shown {
			t.Errorf("%s of %v %s = %s %s, want %s %s", row.key, row.v, row.unit, got, s.Unit, row.want, row.shown)
		}
		// The number is the value times Scale, plus Offset: pages draw it so.
		number, err := strconv.ParseFloat(row.want, 64)
		if err != nil {
			number = row.v // a word's
		}
		if got := row.v*s.Scale + s.Offset; math.Abs(got-number) > 0.005*math.Abs(number) && math.Abs(got-number) > 1e-9 {
			t.Errorf("%s of %v %s is drawn at %v, want %v", row.key, row.v, row.unit, got, number)
		}
	}
}

// A mass of 100 g or more is told to a gram, a smaller one to three figures; it is the
// size that counts, for a change may be less than nothing.
func TestGrams(t *testing.T) {
	s := text.Show("dry_mass", "kg")
	for kg, want := range map[float64]string{
		0.1: "100", 0.0999: "99.9", 0.09996: "100", 0.1004: "100", 0.1006: "101", -0.1: "-100", -0.0999: "-99.9", 1.2345: "1234", 12.3456: "12346",
	} {
		if got := s.Number(kg); got != want {
			t.Errorf("%v kg = %s g, want %s", kg, got, want)
		}
	}
	// Of another unit there is no such rule.
	if got := text.Show("apogee", "m").Number(1234); got != "1230" {
		t.Errorf("1234 m = %s, want three figures", got)
	}
}

// An exponent stands from the sixth zero before and from the fourth behind the point,
// and not on this side of either.
func TestThreeAtItsBounds(t *testing.T) {
	for v, want := range map[float64]string{
		9.994e6: "9990000", 9.996e6: "1.00e+07", 1e7: "1.00e+07", -9.996e6: "-1.00e+07",
		1e-4: "0.000100", 9.996e-5: "0.000100", 9.994e-5: "9.99e-05",
		99.94: "99.9", 99.96: "100", 999.4: "999", 999.6: "1000", 0.9994: "0.999", 0.9996: "1.00", 12345: "12300",
		math.Inf(1): "+Inf",
	} {
		if got := text.Three(v); got != want {
			t.Errorf("Three(%v) = %s, want %s", v, got, want)
		}
	}
}

// A share is never told as more than it is, nor as less by a tenth: a share that is
// whole tenths but for its last digit is told as it is.
func TestPercent(t *testing.T) {
	for share, want := range map[float64]string{
		0: "0.0", 1: "100.0", 0.9999: "99.9", 0.99949: "99.9", 0.5: "50.0", 0.0005: "0.0", 0.001: "0.1",
		0.289: "28.9", // 289 less a last digit, in thousandths
		0.57:  "57.0", 0.001 - 1e-11: "0.0",
	} {
		if got := text.Percent(share); got != want {
			t.Errorf("Percent(%v) = %s, want %s", share, got, want)
		}
	}
	for whole := range 1001 {
		share := float64(whole) / 1000
		if got, want := text.Percent(share), text.Decimals(float64(whole)/10, 1); got != want {
			t.Errorf("Percent(%v) = %s, want %s", share, got, want)
		}
	}
}

// What rounds to nothing has no sign; what does not keeps it.
func TestDecimals(t *testing.T) {
	for _, row := range []struct {
		v    float64
		n    int
		want string
	}{{-0.004, 2, "0.00"}, {-0.006, 2, "-0.01"}, {-0.4, 0, "0"}, {-0.6, 0, "-1"}, {-10, 0, "-10"}, {0, 1, "0.0"}, {-100.04, 1, "-100.0"}} {
		if got := text.Decimals(row.v, row.n); got != row.want {
			t.Errorf("Decimals(%v, %d) = %s, want %s", row.v, row.n, got, row.want)
		}
	}
}

// A column is headed by the section and the name of its key, and by its unit.
func TestColumnOf(t *testing.T) {
	for key, want := range map[string][3]string{
		"chamber.tube.length": {"chamber", "tube.length", "mm"}, "apogee": {"", "apogee", "m"}, "site.elevation": {"site", "elevation", "m"},
	} {
		c := text.ColumnOf(key, "m", []float64{1, math.NaN()})
		if c.Head != want || len(c.Cells) != 2 || c.Cells[1] != "-" {
			t.Errorf("ColumnOf(%s) = %+v, want %v", key, c, want)
		}
	}
}
