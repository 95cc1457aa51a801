package answers_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

func doubts(b *brief.Brief) []answers.Doubt {
	f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	return answers.NewDoubter(b).Doubts(&b.Rocket, &b.Site, &f)
}

// TestDoubts holds the interval of a rocket to what is known of its doubts: it
// holds the flight as modelled but for doubts that push one way, it is wide
// where the rocket is a bottle with its whole neck for a nozzle, and what weighs
// most in the landing is the canopy.
func TestDoubts(t *testing.T) {
	width := map[string]float64{}
	for _, name := range []string{briefs.High, "bottle.toml"} {
		b := briefs.Demo(t, name)
		all := doubts(b)
		if len(all) != len(answers.Doubted) {
			t.Fatalf("%s: %d doubts, want %d", name, len(all), len(answers.Doubted))
		}
		f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
		for i, d := range all {
			if v, _ := f.Figure(d.Figure); v != d.Value || d.Figure != answers.Doubted[i] || !(d.Low < d.High) || d.Most == nil {
				t.Errorf("%s: %+v of a flight with %v", name, d, v)
			}
		}
		if all[2].Most.Key != "recovery.drag" {
			t.Errorf("%s: %s weighs most in the landing speed, want recovery.drag", name, all[2].Most.Key)
		}
		// Landing speed goes with the root of the canopy's drag area: 15 % and
		// 1.645 deviations of it, to first order, and a little for the rest.
		low, high := 1/math.Sqrt(1+1.645*0.15), 1/math.Sqrt(1-1.645*0.15)
		if got := all[2].Low / all[2].Value; math.Abs(got-low) > 0.02 {
			t.Errorf("%s: landing speed from %v of its value, want %v", name, got, low)
		}
		if got := all[2].High / all[2].Value; math.Abs(got-high) > 0.03 {
			t.Errorf("%s: landing speed up to %v of its value, want %v", name, got, high)
		}
		width[name] = (all[0].High - all[0].Low) / all[0].Value
		if again := doubts(b.WithSeed(99)); !reflect.DeepEqual(again, all) {
			t.Errorf("%s: another seed gives other doubts", name)
		}
	}
	if width["bottle.toml"] < 1.15*width[briefs.High] {
		t.Errorf("the apogee is doubted by %v of it, want most for the bottle", width)
	}
	if d := doubts(briefs.Demo(t, briefs.High, "payload.mass=20 kg")); d != nil {
		t.Errorf("doubts of a rocket that stays on the pad: %+v", d)
	}
}

// TestDoubtOfGrowth doubts the growth of a soft chamber only, and of one whose
// brief is silent.
func TestDoubtOfGrowth(t *testing.T) {
	grows := func(b *brief.Brief) bool {
		return slices.ContainsFunc(answers.Effects(b, b.Own()), func(e answers.Effect) bool { return e.Doubt && e.Quantity.Key == "chamber.growth" })
	}
	for _, row := range []struct {
		b    *brief.Brief
		want bool
	}{
		{briefs.Demo(t, "lighter-or-stable.toml"), true},
		{briefs.Demo(t, briefs.High), false},   // 15 bar
		{briefs.Demo(t, "bottle.toml"), false}, // names it
	} {
		if got := grows(row.b); got != row.want {
			t.Errorf("%s: growth doubted %v, want %v", row.b.Title, got, row.want)
		}
	}
}
