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
