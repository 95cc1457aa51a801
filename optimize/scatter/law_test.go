package scatter

import (
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// TestDoubtsAfterFit holds that a fit's deviations, and only a fit's, stand for
// the rows that they are of, and that no row comes or goes.
func TestDoubtsAfterFit(t *testing.T) {
	demo := briefs.Demo(t, "lighter-or-stable.toml")
	before := Doubts(demo)
	day := string(demo.Source) + "\n[scatter.day]\n\"body.drag\" = 0.031\n\"chamber.drawn\" = 0.04\n\"site.wind\" = \"1 m/s\"\n"
	for _, row := range []struct {
		src    string
		fitted bool
	}{{day, false}, {brief.FittedMark + "a.csv (SHA-256 0123456789ab)\n" + day, true}} {
		b := briefs.Parse(t, []byte(row.src))
		if fitted := b.Fitted != ""; fitted != row.fitted || row.fitted && b.Fitted != "a.csv (SHA-256 0123456789ab)" {
			t.Fatalf("fitted to %q, want it %v", b.Fitted, row.fitted)
		}
		after := Doubts(b)
		if len(after) != len(before) {
			t.Fatalf("%d rows, want %d", len(after), len(before))
		}
		for i, l := range after {
			want := before[i]
			switch {
			case row.fitted && l.Key == "body.drag":
				want.Deviation, want.Relative = 0.031, false
			case row.fitted && l.Key == "chamber.drawn":
				want.Deviation, want.Reach = 0.04, 0
			}
			if l != want {
				t.Errorf("fitted %v, %s: %+v, want %+v", row.fitted, l.Key, l, want)
			}
		}
	}
}
