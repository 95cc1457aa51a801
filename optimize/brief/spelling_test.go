package brief

import (
	"math"
	"regexp"
	"testing"
)

// writings are values as people write them, with what they are in SI; NaN: refused.
var writings = []struct {
	text, si string
	want     float64
}{
	{"660 mL", "m3", 0.00066},
	{"2 L", "m3", 0.002},
	{"50 cl", "m3", 0.0005},
	{"1 litre", "m3", 0.001},
	{"500 cm³", "m3", 0.0005},
	{"5 Bar", "Pa", 5e5},
	{"5 MPa", "Pa", 5e6},
	{"5 Mpa", "Pa", 5e6},
	{"5 mPa", "Pa", math.NaN()}, // a thousandth of a pascal, which nobody means
	{"5 mpa", "Pa", math.NaN()},
	{"1013 mbar", "Pa", 101300},
	{"3 inch", "m", 0.0762},
	{`3"`, "m", 0.0762},
	{"2 Feet", "m", 0.6096},
	{"80 µm", "m", 80e-6}, // the micro sign
	{"80 μm", "m", 80e-6}, // the Greek letter
	{"9\u00a0mm", "m", 0.009},
	{"17 °C", "K", 290.15},
	{"17 ℃", "K", 290.15},
	{"17℃", "K", 290.15},
	{"50 ℉", "K", 283.15},
	{"17 ºC", "K", 290.15}, // the ordinal sign, beside 1 on some keyboards
	{"17 ˚C", "K", 290.15}, // the ring above, which others have
	{"3 ℃", "m", math.NaN()},
	{"3″", "m", 0.0762},
	{"2’", "m", 0.6096},
	{"17 C", "K", 290.15},
	{"−5 °C", "K", 268.15},
	{"50 °F", "K", 283.15},
	{"2°", "rad", 2 * math.Pi / 180},
	{"900 kg/m³", "kg/m3", 900},
	{"900 kg/m^3", "kg/m3", 900},
	{"9.8 m/s²", "m/s2", 9.8},
	{"20 G", "m/s2", 196.133},
	{"20 G", "kg", 0.02},
	{"30 percent", "1", 0.3},
	{"60 N·s", "N s", 60},
	{"0,66 l", "m3", 0.00066},
	{"0,660 l", "m3", 0.00066},
	{"12,5 mm", "m", 0.0125},
	{"-0,5 m/s", "m/s", -0.5},
	{"1,500 g", "kg", math.NaN()}, // one and a half grams, or one and a half thousand
	{"12,500 g", "kg", math.NaN()},
	{"1,500,000 g", "kg", math.NaN()},
	{"1.500,5 g", "kg", math.NaN()},
	{"1 500 g", "kg", math.NaN()},
	{"5 kn", "N", 5000}, // the key settles that no speed is meant
	{"5 KN", "m/s", 5 * 1852. / 3600},
}

// TestSpellings reads values as people write them, and holds that an editor with
// the schema takes the same ones.
func TestSpellings(t *testing.T) {
	for _, c := range writings {
		p := &parser{}
		got, ok := p.read(&node{key: "x", kind: text, text: c.text}, measure{unit: c.si, example: "9 mm"})
		if ok == math.IsNaN(c.want) || ok && got != c.want {
			t.Errorf("%q in %s = %v, %v, want %v", c.text, c.si, got, ok, c.want)
		}
		if pattern := regexp.MustCompile(unitText(unitNames(c.si)).Pattern); pattern.MatchString(c.text) != ok && c.text != "9\u00a0mm" {
			t.Errorf("%q in %s: the schema's pattern says %v, Parse %v", c.text, c.si, !ok, ok)
		}
	}
}

// TestUnitsAreDistinct holds that no spelling means two units of one dimension.
func TestUnitsAreDistinct(t *testing.T) {
	names := map[string]bool{}
	for _, u := range units {
		names[u.name] = true
	}
	for spelled := range spellings {
		names[spelled] = true
	}
	for name := range names {
		seen := map[string]string{}
		for _, u := range units {
			if !u.means(name) {
				continue
			}
			if other := seen[u.si]; other != "" {
				t.Errorf("%q means %s and %s", name, other, u.name)
			}
			seen[u.si] = u.name
		}
		if len(seen) == 0 {
			t.Errorf("%q means no unit", name)
		}
	}
}

func TestNearestUnitIsNamed(t *testing.T) {
	for _, c := range []struct{ text, si, want string }{
		{"9 mmm", "m", `x.toml:0:0: x: "9 mmm" has no known unit, want "9 mm"`},
		{"5 barr", "Pa", `x.toml:0:0: x: "5 barr" has no known unit, want "5 bar"`},
		{"9 furlong", "m", `x.toml:0:0: x: "9 furlong" has no known unit, want m, cm, mm, um, in or ft`},
		{"9 furlong", "1", `x.toml:0:0: x: "9 furlong" has no known unit, want a ratio such as 0.3`},
		{"1,500 g", "kg", `x.toml:0:0: x: "1,500 g" has a comma that may part thousands, want "1.500 g" or "1500 g"`},
	} {
		p := &parser{}
		_, ok := p.read(&node{key: "x", kind: text, text: c.text}, measure{unit: c.si, example: "0.3"})
		if err := joinFaults("x.toml", p.faults); ok || err == nil || err.Error() != c.want {
			t.Errorf("%q in %s: %v, want %s", c.text, c.si, err, c.want)
		}
	}
}
