package brief_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/testdata"
	"ullage/testdata/briefs"
)

// TestAloneMeansWhatWasSet holds that a brief with what was set written into it
// means what it does with it set, for every quantity of every demo, to the last
// digit; and that the rest of the text stays.
func TestAloneMeansWhatWasSet(t *testing.T) {
	for _, name := range testdata.Briefs() {
		src, tried := briefs.Read(t, name+".toml"), 0
		own, err := brief.Parse(name, src)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range brief.Quantities() {
			set := q.Setting(q.Value(&own.Rocket, &own.Site) * 1.00123456789)
			if q.Allowed != nil {
				set = q.Key + "=4"
			}
			want, err := brief.Parse(name, src, set)
			if err != nil {
				continue // the demo does not bear it
			}
			text, err := want.Alone(want.Own())
			if err != nil {
				if !strings.HasSuffix(err.Error(), "its table has no header of its own, want one") {
					t.Errorf("%s, %s: %v", name, set, err)
				}
				continue
			}
			got, err := brief.Parse(name, text)
			if err != nil {
				t.Errorf("%s with %s: %v", name, set, err)
				continue
			}
			tried++
			if len(got.Vary) != len(want.Vary) || len(got.Goals) != len(want.Goals) {
				t.Errorf("%s with %s varies %d and aims for %d, as set %d and %d", name, set, len(got.Vary), len(got.Goals), len(want.Vary), len(want.Goals))
			}
			if got, want := q.Value(&got.Rocket, &got.Site), q.Value(&want.Rocket, &want.Site); got != want {
				t.Errorf("%s: %s is %v in the text, %v as set", name, set, got, want)
			}
			if before, after := strings.Count(string(src), "\n"), strings.Count(string(text), "\n"); after < before || after > before+3 {
				t.Errorf("%s with %s has %d lines, %d before", name, set, after, before)
			}
		}
		if tried < 20 {
			t.Errorf("%s: %d quantities were written into it, want at least 20", name, tried)
		}
	}
}

// TestAloneOfAWeighedRocket holds that the scale stays what it was: what was aboard
// then is written down, so that another ballast does not become what was weighed.
func TestAloneOfAWeighedRocket(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml", "weighed.mass=250 g", "weighed.balance=330 mm")
	x := b.Own()
	at := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == "ballast.mass" })
	if at < 0 {
		t.Fatal("no ballast to vary")
	}
	x[at] += 0.03
	text, err := b.Alone(x)
	if err != nil {
		t.Fatal(err)
	}
	made, err := brief.Parse("made.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	r, s := b.At(x)
	want, ok := model.Weigh(&r, &s)
	got, has := model.Weigh(&made.Rocket, &made.Site)
	if !ok || !has || math.Abs(got.DryMass-want.DryMass) > 1e-12 || math.Abs(got.DryCG-want.DryCG) > 1e-12 { // kg and m: rounding
		t.Errorf("it weighs %v kg and balances at %v m, want %v and %v", got.DryMass, got.DryCG, want.DryMass, want.DryCG)
	}
}
