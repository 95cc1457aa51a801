package answers_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
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

// TestMends goes back from each mend: with it the rocket is GO, with a step less
// it is not, and none raises the pressure.
func TestMends(t *testing.T) {
	b := briefs.Demo(t, "lighter-or-stable.toml", "recovery.delay=4.6 s")
	caller := study.NewCaller(b)
	if caller.Goes(&b.Rocket, &b.Site) {
		t.Fatal("the timer is not late enough to need a mend")
	}
	mends := answers.Mends(caller.Goes, &b.Rocket, &b.Site)
	if len(mends) == 0 {
		t.Fatal("no mend, want the timer a little earlier at least")
	}
	timer := false
	for _, m := range mends {
		r, s := b.Rocket, b.Site
		m.Quantity.Set(&r, &s, m.Value)
		if c := caller.Call(&r, &s); c.Word != study.Go {
			t.Errorf("%s: with %s called %v", m.Quantity.Key, m.Quantity.Text(m.Value), c.Word)
		}
		// A tenth of a second is the timer's step: one less must not do.
		if m.Quantity.Key == "recovery.delay" {
			m.Quantity.Set(&r, &s, m.Value+math.Copysign(0.1, m.Planned-m.Value))
			if caller.Goes(&r, &s) {
				t.Errorf("GO with a timer at %v s already, the mend says %v", r.Recovery.Delay, m.Value)
			}
		}
		if m.Quantity.Key == "chamber.pressure" && m.Value >= m.Planned {
			t.Errorf("a mend raises the pressure to %v", m.Value)
		}
		timer = timer || m.Quantity.Key == "recovery.delay" && m.Value < m.Planned
	}
	if !timer {
		t.Errorf("mends %+v, want an earlier timer among them", mends)
	}
}

// TestFalls holds the farthest touch-downs against single flights.
func TestFalls(t *testing.T) {
	b := briefs.Demo(t, "highest-in-class.toml")
	with, without := answers.Falls(b, &b.Rocket, &b.Site, model.NewScratch())
	bare := model.Bare(&b.Rocket, &b.Site, model.NewScratch())
	drift, _ := bare.Figure(model.Drift)
	speed, _ := bare.Figure(model.LandingSpeed)
	if -without.Upwind > drift || without.Downwind < drift || without.Speed < speed || without.Energy < with.Energy {
		t.Errorf("without canopy %+v, and a flight as set comes down at %v with %v m/s", without, drift, speed)
	}
	if without.Upwind < with.Upwind || without.Downwind < with.Downwind {
		t.Errorf("without canopy %+v, with it %+v: want no smaller circle without", without, with)
	}
	// A guide that leans 10 degrees sends it farther than one as set.
	if without.Upwind < 10 {
		t.Errorf("upwind %v m, want what a leaning guide does", without.Upwind)
	}
	tumbles := briefs.Demo(t, "bottle.toml", "fins.span=40 mm", "ballast.mass=0 g")
	if _, f := answers.Falls(tumbles, &tumbles.Rocket, &tumbles.Site, model.NewScratch()); !math.IsNaN(f.Upwind) || !math.IsNaN(f.Downwind) {
		t.Errorf("a rocket that tumbles comes down within %+v, want that it cannot be said", f)
	}
}
