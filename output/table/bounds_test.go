package table_test

import (
	"math"
	"testing"

	"ullage/output/table"
)

func TestBounds(t *testing.T) {
	none := math.Inf(1)
	for _, row := range []struct {
		why             string
		atLeast, atMost float64
		size            bool
		unit, want      string
	}{
		{"below", 1, none, false, "cal", "at_least 1"},
		{"above, to the last digit", -none, 20 * 9.80665, false, "m/s2", "at_most 196.133"},
		{"both", 0.1, 0.3, false, "1", "at_least 0.1 at_most 0.3"},
		{"an angle, without its sign", -none, 3 * math.Pi / 180, true, "rad", "size at_most 3"},
	} {
		if got := table.Bounds(row.atLeast, row.atMost, row.size, row.unit); got != row.want {
			t.Errorf("%s: Bounds(%v, %v) = %q, want %q", row.why, row.atLeast, row.atMost, got, row.want)
		}
	}
}
