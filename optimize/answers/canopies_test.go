package answers

import (
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/testdata/briefs"
)

// The effect of the next canopy is that of its size and its mass; of a word there
// is one for each other choice, its own left out.
func TestEffectsOfChoices(t *testing.T) {
	b := briefs.Listed(t)
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
