package text_test

import (
	"math"
	"testing"

	"ullage/output/text"
)

// Bounds hold as they are read: one never to be exceeded is cut down, one to be
// reached is cut up, and a number that is whole but for rounding stays.
func TestBoundsAreReadSafely(t *testing.T) {
	for _, row := range []struct {
		v               float64
		n               int
		atMost, atLeast string
	}{
		{1.234, 2, "1.23", "1.24"},
		{1.239, 2, "1.23", "1.24"},
		{-0.015, 2, "-0.02", "-0.01"},
		{7, 0, "7", "7"},
		{7.01, 0, "7", "8"},
		{1.15, 2, "1.15", "1.15"},      // 1.15·100 is a little less than 115
		{1.1 * 1.1, 2, "1.21", "1.21"}, // a little more than 1.21
		{1.2300001, 2, "1.23", "1.24"}, // more than rounding
		{1.2299999, 2, "1.22", "1.23"},
		{1.23 - 5e-12, 2, "1.23", "1.23"}, // half of what counts as rounding, and twice
		{1.23 + 5e-12, 2, "1.23", "1.23"},
		{1.23 - 2e-11, 2, "1.22", "1.23"},
		{1.23 + 2e-11, 2, "1.23", "1.24"},
	} {
		if got := text.AtMost(row.v, row.n); got != row.atMost {
			t.Errorf("AtMost(%v, %d) = %s, want %s", row.v, row.n, got, row.atMost)
		}
		if got := text.AtLeast(row.v, row.n); got != row.atLeast {
			t.Errorf("AtLeast(%v, %d) = %s, want %s", row.v, row.n, got, row.atLeast)
		}
	}
	// Gauges show a hundredth of a bar below ten, a tenth from there.
	for _, row := range []struct {
		pa              float64
		atMost, atLeast string
	}{{6.118e5, "6.11", "6.12"}, {9.996e5, "9.99", "10.00"}, {10e5, "10.0", "10.0"}, {10.96e5, "10.9", "11.0"}, {22.5e5, "22.5", "22.5"}} {
		if got := text.BarsAtMost(row.pa); got != row.atMost {
			t.Errorf("BarsAtMost(%v) = %s, want %s", row.pa, got, row.atMost)
		}
		if got := text.BarsAtLeast(row.pa); got != row.atLeast {
			t.Errorf("BarsAtLeast(%v) = %s, want %s", row.pa, got, row.atLeast)
		}
	}
}

// Three significant figures, and an exponent only where zeros would hide them.
func TestThree(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 9.9949: "9.99", 9.995001: "10.0", 0.000123456: "0.000123", 0.0000999: "9.99e-05", 9.99e6: "9990000", 1e7: "1.00e+07",
		-1234: "-1230", 1.5: "1.50",
	} {
		if got := text.Three(v); got != want {
			t.Errorf("Three(%v) = %q, want %q", v, got, want)
		}
	}
	show := text.Show("drift", "m")
	for v, want := range map[float64]string{0: "0", 1.25: "+1.25", -1.25: "-1.25"} {
		if got := show.Difference(v); got != want {
			t.Errorf("Difference(%v) = %q, want %q", v, got, want)
		}
	}
	// In the unit that is shown, and a distance knows no zero of a scale.
	for _, row := range []struct {
		key, unit string
		v         float64
		want      string
	}{{"fins.span", "m", 0.0125, "+12.5"}, {"dry_mass", "kg", -0.0125, "-12.5"}, {"chamber.pressure", "Pa", 1.5e5, "+1.50"}, {"site.temperature", "K", 10, "+10.0"}, {"site.tilt", "rad", math.Pi / 180, "+1.00"}} {
		if got := text.Show(row.key, row.unit).Difference(row.v); got != row.want {
			t.Errorf("a difference of %v %s is %s, want %s", row.v, row.unit, got, row.want)
		}
	}
}

// Prose is folded at spaces, as late as it fits.
func TestWrap(t *testing.T) {
	for _, row := range []struct {
		text        string
		width       int
		first, rest string
	}{
		{"abc def", 7, "abc def", ""},
		{"abc def", 6, "abc", "def"},
		{"abc def ghi", 7, "abc def", "ghi"},
		{"abc def ghi", 8, "abc def", "ghi"},
		{"abcdefgh ij", 4, "abcdefgh ij", ""},
		{" abcdefgh", 4, " abcdefgh", ""},
		{"äöü äöü", 4, "äöü", "äöü"},
		{"abcd e fgh", 5, "abcd", "e fgh"},
		{"abcd e fgh", 6, "abcd e", "fgh"},
		{"a b", 1, "a", "b"},
		{"a b", 0, "a b", ""},
	} {
		if first, rest := text.Wrap(row.text, row.width); first != row.first || rest != row.rest {
			t.Errorf("Wrap(%q, %d) = %q, %q, want %q, %q", row.text, row.width, first, rest, row.first, row.rest)
		}
	}
}

// Three figures, in the units of a workshop.
func TestShownNumbers(t *testing.T) {
	for _, row := range []struct {
		key, unit string
		v         float64
		want      string
	}{
		{"drift", "m", -0.05126, "-0.0513 m"},
		{"dry_margin", "cal", 0, "0 cal"},
		{"dry_margin", "cal", 3.14e-17, "3.14e-17 cal"},
		{"line_factor", "1", 123456, "123000 "},
		{"line_factor", "1", 1.2345e9, "1.23e+09 "},
		{"chamber.pressure", "Pa", 15e5, "15.0 bar"},
		{"dry_mass", "kg", 1.142, "1142 g"}, // as the scale said it
		{"fins.fillets", "kg", 0.0095, "9.50 g"},
		{"chamber.bore", "m", 0.087, "87.0 mm"},
		{"fins.count", "1", 3, "3 "},
		{"site.elevation", "m", 140, "140 m"},
		{"site.temperature", "K", 290.15, "17.0 degC"},
		{"volume", "m3", 0.0045, "4.50 l"},
		{"acceleration", "m/s2", 20 * 9.80665, "20.0 gn"},
		{"fins.density", "kg/m3", 1600, "1.60 g/cm3"},
		{"apogee", "m", math.NaN(), "- m"},
	} {
		s := text.Show(row.key, row.unit)
		if got := s.Value(row.v) + " " + s.Unit; got != row.want {
			t.Errorf("Show of %s %v %s = %s, want %s", row.key, row.v, row.unit, got, row.want)
		}
	}
}
