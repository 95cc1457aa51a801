package brief_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

func TestToSI(t *testing.T) {
	for _, c := range []struct {
		v        float64
		unit, si string
		want     float64
		ok       bool
	}{
		{3, "ft", "m", 0.9144, true},
		{2, "g", "m/s2", 19.6133, true},
		{1013, "hPa", "Pa", 101300, true},
		{0, "degC", "K", 273.15, true},
		{1, "ft", "s", 0, false},
	} {
		got, ok := brief.ToSI(c.v, c.unit, c.si)
		if ok != c.ok || ok && math.Abs(got-c.want) > 1e-15*c.want {
			t.Errorf("ToSI(%v, %s, %s) = %v, %v, want %v, %v", c.v, c.unit, c.si, got, ok, c.want, c.ok)
		}
	}
	if names := brief.UnitNames("s"); !slices.Equal(names, []string{"s", "ms"}) {
		t.Errorf("units of time: %v", names)
	}
}

// Each unit has its size: SI units by their names (SI brochure, 9th edition),
// the others as NIST SP 811 (2008), appendix B, has them, exact but for psi and
// lbf, of which it gives seven digits.
func TestEveryUnit(t *testing.T) {
	want := map[string]map[string]float64{
		"m":     {"m": 1, "cm": 0.01, "mm": 1e-3, "um": 1e-6, "in": 0.0254, "ft": 0.3048},
		"m/s":   {"m/s": 1, "km/h": 1 / 3.6, "mph": 0.44704, "kn": 1852. / 3600},
		"kg":    {"kg": 1, "g": 1e-3, "lb": 0.45359237, "oz": 0.028349523125},
		"Pa":    {"Pa": 1, "bar": 1e5, "hPa": 100, "mbar": 100, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "psi": 6894.757, "atm": 101325},
		"s":     {"s": 1, "ms": 1e-3},
		"rad":   {"rad": 1, "deg": math.Pi / 180},
		"K":     {"K": 1, "degC": 274.15, "degF": (1 + 459.67) / 1.8},
		"N":     {"N": 1, "kN": 1e3, "lbf": 4.448222},
		"N s":   {"N s": 1},
		"J":     {"J": 1},
		"kg/m3": {"kg/m3": 1, "g/cm3": 1e3},
		"m3":    {"m3": 1, "l": 1e-3, "ml": 1e-6, "cl": 1e-5, "cm3": 1e-6},
		"m/s2":  {"m/s2": 1, "gn": 9.80665, "g": 9.80665},
		"1":     {"%": 0.01},
		"1/Pa":  {"%/bar": 1e-7, "%/psi": 0.01 / 6894.757},
	}
	for si, units := range want {
		names := brief.UnitNames(si)
		if len(names) != len(units) {
			t.Errorf("%s: units %v, want %d of them", si, names, len(units))
		}
		for name, size := range units {
			if got, ok := brief.ToSI(1, name, si); !ok || math.Abs(got-size) > 1e-7*size {
				t.Errorf("1 %s = %v %s, %v, want %v", name, got, si, ok, size)
			}
		}
	}
}

// A bound that cannot be read is one fault, and no other is made up of it.
func TestBadBoundIsOneFault(t *testing.T) {
	for _, line := range []string{`{ from = "80 mn", to = "180 mm", step = "2 mm" }`, `{ from = "80 mm", to = "180 mn", step = "2 mm" }`} {
		_, err := brief.Parse("x.toml", edited(t, "field-day.toml", "[vary]", "[vary]\n\"body.length\" = "+line))
		if err == nil || strings.Count(err.Error(), "\n") != 0 || !strings.Contains(err.Error(), "mn") {
			t.Errorf("%s: %v, want one fault", line, err)
		}
	}
}

// A goal is described with the unit and the bound that it was written with.
func TestGoalsInWords(t *testing.T) {
	for goal, want := range map[string]string{
		`"highest"`: "highest", `"lowest"`: "lowest", `{ highest = true, up_to = "120 m" }`: "highest up to 120 m",
		`{ lowest = true, up_to = "50 m" }`: "lowest down to 50 m", `{ nearest = "100 m" }`: "nearest 100 m",
	} {
		b, err := brief.Parse("x.toml", edited(t, "bottle.toml", `apogee = "highest"`, "apogee = "+goal))
		if err != nil {
			t.Fatal(err)
		}
		if got := b.Goals[0].Describe(); got != want {
			t.Errorf("%s is described as %q, want %q", goal, got, want)
		}
	}
}
