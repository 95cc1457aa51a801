package answers_test

import (
	"math"
	"testing"

	"ullage/optimize/answers"
)

// TestNearestDrill holds where drills of a tenth of a millimetre end, and what
// counts as the drill itself.
func TestNearestDrill(t *testing.T) {
	for _, row := range []struct {
		diameter, want float64 // mm
		same           bool
	}{
		{11, 11, true},
		{11.0099, 11.0099, true},
		{11.0101, 11, false},
		{11.04, 11, false},
		{11.06, 11.1, false},
		{13.9, 13.9, true},
		{13.94, 13.9, false},
		{13.96, 14, false},
		{14.1, 14, false},
		{14.13, 14.25, false},
		{21.7, 21.75, false},
		{0.02, 0.1, false},
	} {
		got, same := answers.NearestDrill(row.diameter / 1e3)
		if math.Abs(got-row.want/1e3) > 1e-12 || same != row.same { // 1e-12 m: rounding
			t.Errorf("NearestDrill of %v mm = %v m, the same %v; want %v mm, %v", row.diameter, got, same, row.want, row.same)
		}
	}
}
