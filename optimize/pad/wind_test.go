package pad

import (
	"math"
	"testing"

	"ullage/model"
)

// The strongest wind is told to half a metre a second, of either side, up to ten
// more than was planned.
func TestStrongestWind(t *testing.T) {
	for _, row := range []struct {
		planned, until, want float64
		ends                 bool
	}{
		{3, 3, 3, true},
		{3, 3.4, 3, true},
		{3, 3.5, 3.5, true},
		{3, 4, 4, true},
		{3, 7.9, 7.5, true},
		{3, 12.4, 12, true},
		{3, 12.9, 12.5, true},
		{3, 13, 13, false},
		{3, 40, 13, false},
		{0, 5, 5, true},
		{-3, 5.2, 5, true},
		{-3, 40, 13, false},
	} {
		asked := 0.0
		got := strongestWind(func(_ *model.Rocket, s *model.Site) bool {
			asked = max(asked, math.Abs(s.Wind))
			return math.Signbit(s.Wind) == math.Signbit(row.planned) && math.Abs(s.Wind) <= row.until
		}, &model.Rocket{}, &model.Site{Wind: row.planned})
		if got != (Wind{row.want, row.ends}) {
			t.Errorf("%v m/s planned, GO up to %v: %+v, want %v, ends %v", row.planned, row.until, got, row.want, row.ends)
		}
		if asked > math.Abs(row.planned)+10 {
			t.Errorf("%v m/s planned: %v m/s was looked at", row.planned, asked)
		}
	}
}
