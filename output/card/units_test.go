package card

import (
	"math"
	"testing"
)

// TestUnits holds the factors against those of NIST SP 811 (2008), appendix B.8,
// to the digits printed there.
func TestUnits(t *testing.T) {
	for _, row := range []struct {
		m    measure
		want float64
	}{
		{us.mass, 2.834952e-2},
		{us.water, 2.957353e-5},
		{us.pressure, 6.894757e3},
		{us.body, 2.54e-2},
		{us.way, 3.048e-1},
		{us.wind, 4.4704e-1},
		{us.energy, 1.355818},
	} {
		if math.Abs(row.m.per/row.want-1) > 5e-7 {
			t.Errorf("%s = %v, want %v", row.m.unit, row.m.per, row.want)
		}
	}
	if got := us.heat.near(290.15); got != "63" { // 17 degC is 62.6 degF
		t.Errorf("17 degC = %s degF, want 63", got)
	}
	// Bounds hold as they are read.
	if most, least := us.pressure.atMost(15e5), us.pressure.atLeast(15e5); most != "217" || least != "218" {
		t.Errorf("15 bar is at most %s psi, at least %s, want 217 and 218", most, least)
	}
}

// Beside a key each number has the unit that its kind has on the card in the other
// system; what has none there keeps its own. Factors are those of NIST SP 811 as
// above; speeds in feet, wind in miles an hour, lengths on the rocket in inches.
func TestShownInOtherUnits(t *testing.T) {
	c := made()
	for _, row := range []struct {
		key, unit  string
		v          float64
		ours, want string
	}{
		{"fins.span", "m", 2.54e-2, "25.4 mm", "1.00 in"},
		{"apogee", "m", 3.048, "3.05 m", "10.0 ft"},
		{"site.guide", "m", 3.048, "3.05 m", "10.0 ft"},
		{"dry_mass", "kg", 2.834952e-2, "28.3 g", "1.00 oz"},
		{"chamber.pressure", "Pa", 6.894757e5, "6.89 bar", "100 psi"},
		{"volume", "m3", 2.957353e-3, "2.96 l", "100 fl oz"},
		{"landing_energy", "J", 13.55818, "13.6 J", "10.0 ft lbf"},
		{"site.temperature", "K", 290.15, "17.0 degC", "62.6 degF"},
		{"site.wind", "m/s", 4.4704, "4.47 m/s", "10.0 mph"},
		{"site.gust", "m/s", 4.4704, "4.47 m/s", "10.0 mph"},
		{"landing_speed", "m/s", 3.048, "3.05 m/s", "10.0 ft/s"},
		{"margin", "cal", 1.25, "1.25 cal", "1.25 cal"},
		{"acceleration", "m/s2", 98.0665, "10.0 gn", "10.0 gn"},
		{"site.tilt", "rad", math.Pi, "180 deg", "180 deg"},
	} {
		for _, us := range []bool{false, true} {
			c.Brief.US = us
			s, want := c.show(row.key, row.unit), row.ours
			if us {
				want = row.want
			}
			if got := s.Number(row.v) + " " + s.Unit; got != want {
				t.Errorf("%s %v %s, US %v: %s, want %s", row.key, row.v, row.unit, us, got, want)
			}
		}
	}
}
