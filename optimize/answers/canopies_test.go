package answers

import (
	"math"
	"slices"
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
		"[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"cut\", \"radiused\", \"faired\"] }\n\"recovery.canopy\" = { choices = [{ canopy = \"130 cm\", mass = \"95 g\" }, "+
			"{ canopy = \"75 cm\", mass = \"38 g\" }, { canopy = \"110 cm\", mass = \"71 g\" }, { canopy = \"90 cm\", mass = \"50 g\" }] }\n",
	))
}

// The effect of the next canopy is that of its size and its mass; of a word there
// is one for each other choice, its own left out.
func TestEffectsOfChoices(t *testing.T) {
	b := listed(t)
	all := Effects(b, b.Own())
	i := slices.IndexFunc(all, func(e Effect) bool { return e.Quantity.Key == "recovery.canopy" })
	r, s := b.Rocket, b.Site
	r.Recovery.Canopy, r.Recovery.Mass = 1.1, 0.071
	scratch := model.NewScratch()
	own, other := model.Fly(&b.Rocket, &b.Site, scratch), model.Fly(&r, &s, scratch)
	before, _ := own.Figure(model.Apogee)
	after, _ := other.Figure(model.Apogee)
	if i < 0 || math.Abs(all[i].Step-0.2) > 1e-12 || all[i].Changes[0] != after-before {
		t.Errorf("the next canopy: %+v, want 0.2 m more and %v m of apogee", all[i], after-before)
	}
	var words []string
	for _, e := range all {
		if e.Word != "" {
			words = append(words, e.Quantity.Key+" "+e.Word)
		}
	}
	slices.Sort(words)
	if !slices.Equal(words, []string{"fins.edges cut", "fins.edges faired"}) {
		t.Errorf("words %q, want fins.edges cut and faired", words)
	}
}
