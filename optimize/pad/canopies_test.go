package pad

import (
	"testing"

	"ullage/model"
	"ullage/testdata/briefs"
)

// What would mend is a canopy of the list, the next larger that does, flown with
// its own mass; where none does, none with the mass of another.
func TestCanopyOfTheListMends(t *testing.T) {
	b := briefs.Listed(t)
	for _, row := range []struct{ least, want float64 }{{0.07, 1.1}, {0.08, 1.3}, {0.1, 0}} {
		goes := func(r *model.Rocket, _ *model.Site) bool { return r.Recovery.Mass > row.least }
		larger := func(r *model.Rocket, _ *model.Site) bool { return r.Recovery.Canopy > 0.9 }
		mends := withCanopies(b, mends(larger, &b.Rocket, &b.Site), goes, &b.Rocket, &b.Site)
		got := 0.0
		for _, m := range mends {
			if m.Quantity.Key == "recovery.canopy" {
				got += m.Value
			}
		}
		if got != row.want {
			t.Errorf("a canopy that weighs more than %v kg: %v m, want %v", row.least, got, row.want)
		}
	}
	plain := briefs.Demo(t, "field-day.toml")
	larger := func(r *model.Rocket, _ *model.Site) bool { return r.Recovery.Canopy > 0.9 }
	if mends := withCanopies(plain, mends(larger, &plain.Rocket, &plain.Site), larger, &plain.Rocket, &plain.Site); len(mends) != 1 || mends[0].Value < 0.9499 || mends[0].Value > 0.9501 {
		t.Errorf("without a list %+v, want a canopy of 95 cm", mends)
	}
}
