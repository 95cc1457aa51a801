package answers_test

import (
	"math"
	"testing"

	"ullage/optimize/answers"
	"ullage/testdata/briefs"
)

// An end of a range counts on either side, of choices too, but not where
// nothing can be beyond it.
func TestEndsOf(t *testing.T) {
	b := briefs.Parse(t, briefs.Edited(t, "bottle.toml", "[vary]", "[vary]\n\"chamber.throat\" = { choices = [\"9 mm\", \"7 mm\"] }\n\"fins.span\" = { from = \"50 mm\", to = \"95 mm\", step = \"10 mm\" }"))
	x := b.Own()
	at := func(key string, v float64) {
		for i := range b.Vary {
			if b.Vary[i].Key == key {
				x[i] = v
			}
		}
	}
	at("chamber.throat", 7e-3)
	at("fins.span", 90e-3) // the last whole step
	at("ballast.mass", 0)  // none is none
	got := map[string]float64{}
	for _, e := range answers.EndsOf(b, x) {
		got[e.Key] = e.Value
	}
	if len(got) != 2 || got["chamber.throat"] != 7e-3 || math.Abs(got["fins.span"]-90e-3) > 1e-12 {
		t.Errorf("EndsOf = %v, want the throat of 7 mm and the span of 90 mm", got)
	}
	at("chamber.throat", 9e-3)
	at("fins.span", 80e-3)
	if ends := answers.EndsOf(b, x); len(ends) != 1 || ends[0].Key != "chamber.throat" {
		t.Errorf("EndsOf = %v, want the throat alone", ends)
	}
}
