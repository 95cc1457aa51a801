package pad

import (
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// listed is the demo brief with canopies to choose from, 90 cm its own.
func listed(t *testing.T) *brief.Brief {
	t.Helper()
	return briefs.Parse(t, briefs.Edited(
		t, "field-day.toml",
		"[[part]]\nname = \"canopy and line\"\nmass = \"50 g\"\nstation = \"220 mm\"\n", "",
		"line = \"400 N\"\n", "line = \"400 N\"\nmass = \"50 g\"\nstation = \"220 mm\"\n",
		"[vary]\n", "[vary]\n\"recovery.canopy\" = { choices = [{ canopy = \"130 cm\", mass = \"95 g\" }, "+
			"{ canopy = \"75 cm\", mass = \"38 g\" }, { canopy = \"110 cm\", mass = \"71 g\" }, { canopy = \"90 cm\", mass = \"50 g\" }] }\n",
	))
}

// What would mend is a canopy of the list, the next larger that does, flown with
// its own mass; where none does, none with the mass of another.
func TestCanopyOfTheListMends(t *testing.T) {
	b := listed(t)
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
