package brief_test

import (
	"math"
	"slices"
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
