package answers_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// TestEffects holds changes against two flights, and their order.
func TestEffects(t *testing.T) {
	b := briefs.Demo(t, "highest-in-class.toml")
	all := answers.Effects(b, b.Own())
	fly := func(change func(r *model.Rocket, s *model.Site)) *model.Flight {
		r, s := b.Rocket, b.Site
		change(&r, &s)
		f := model.Fly(&r, &s, model.NewScratch())
		return &f
	}
	own := fly(func(*model.Rocket, *model.Site) {})
	for _, row := range []struct {
		key    string
		doubt  bool
		step   float64
		change func(r *model.Rocket, s *model.Site)
	}{
		{"chamber.pressure", false, 0.1e5, func(r *model.Rocket, _ *model.Site) { r.Chamber.Pressure += 0.1e5 }}, // the step of [vary]
		{"body.drag", true, 0.2, func(r *model.Rocket, _ *model.Site) { r.Body.Drag *= 1.2 }},
		{"site.wind", false, 1, func(_ *model.Rocket, s *model.Site) { s.Wind++ }},
		{"payload.mass", false, 0.01, func(r *model.Rocket, _ *model.Site) { r.Payload.Mass += 0.01 }},
	} {
		at := slices.IndexFunc(all, func(e answers.Effect) bool { return e.Quantity.Key == row.key && e.Doubt == row.doubt })
		if at < 0 {
			t.Errorf("no effect of %s", row.key)
			continue
		}
		e, f := all[at], fly(row.change)
		if math.Abs(e.Step-row.step) > 1e-9*row.step {
			t.Errorf("%s: step %v, want %v", row.key, e.Step, row.step)
		}
		for i, id := range answers.Affected {
			before, _ := own.Figure(id)
			after, _ := f.Figure(id)
			// The drawn deviation goes through the normal distribution and back.
			if math.Abs(e.Changes[i]-(after-before)) > 1e-6*math.Abs(after) {
				t.Errorf("%s: %s by %v, want %v", row.key, model.Figures[id].Key, e.Changes[i], after-before)
			}
		}
	}
	for i := 1; i < len(all); i++ {
		if a, b := math.Abs(all[i-1].Changes[0]), math.Abs(all[i].Changes[0]); a < b {
			t.Errorf("%s before %s: %v then %v of height", all[i-1].Quantity.Key, all[i].Quantity.Key, a, b)
		}
	}
}

// TestSteps holds which step a quantity takes: the next drill, the next number
// of fins, the brief's own choice, no pressure that the chamber was not tested
// for, and none of what is not there or cannot be changed any more.
func TestSteps(t *testing.T) {
	const none = 0
	for _, row := range []struct {
		why, brief string
		set        []string
		key        string
		doubt      bool
		step       float64 // SI
	}{
		{"the next drill by 0.1 mm", "bottle.toml", []string{"chamber.throat=8.97 mm"}, "chamber.throat", false, 0.03e-3},
		{"a drill goes to the next", "bottle.toml", []string{"chamber.throat=9 mm"}, "chamber.throat", false, 0.1e-3},
		{"drills from 14 mm on go by 0.25 mm", "bottle.toml", []string{"chamber.throat=13.9 mm"}, "chamber.throat", false, 0.1e-3},
		{"drills from 14 mm on go by 0.25 mm", "bottle.toml", []string{"chamber.throat=14.3 mm"}, "chamber.throat", false, 0.2e-3},
		{"three fins become four", "bottle.toml", []string{"fins.count=3"}, "fins.count", false, 1},
		{"four fins become six, as no brief has five", "bottle.toml", []string{"fins.count=4"}, "fins.count", false, 2},
		{"six fins become four", "bottle.toml", []string{"fins.count=6"}, "fins.count", false, -2},
		{"pressure rises where the chamber was tested for it", "bottle.toml", []string{"chamber.pressure=4 bar", "chamber.proof=6.75 bar"}, "chamber.pressure", false, 0.5e5},
		{"and falls where it was not", "bottle.toml", []string{"chamber.pressure=4 bar", "chamber.proof=6.74 bar"}, "chamber.pressure", false, -0.5e5},
		{"no launch tube becomes longer that is not there", briefs.High, nil, "chamber.tube.length", false, none},
		{"nor ballast heavier that has no place", "field-day.toml", nil, "ballast.mass", false, none},
		{"in a calm the wind has no profile to change", "bottle.toml", []string{"site.wind=0 m/s"}, "site.wind_exponent", false, none},
		{"in a wind it has", "bottle.toml", nil, "site.wind_exponent", false, 0.05},
		// Evenly over 10 K, a deviation of a cut normal distribution into it.
		{"gas warmer than the air that it stands for", "bottle.toml", nil, "chamber.gas_temperature", true, 10 * 0.8422},
	} {
		b := briefs.Demo(t, row.brief, row.set...)
		step := 0.0
		for _, e := range answers.Effects(b, b.Own()) {
			if e.Quantity.Key == row.key && e.Doubt == row.doubt {
				step = e.Step
			}
		}
		if math.Abs(step-row.step) > 1e-3*math.Abs(row.step)+1e-12 {
			t.Errorf("%s: %s %v: step %v, want %v", row.why, row.key, row.set, step, row.step)
		}
	}
}

// TestShares tells what is meant as a share of a value: of a relative doubt and
// of a density, but not of a mass or a pressure at the pad.
func TestShares(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml", "body.drag=1.5")
	type change struct {
		key   string
		doubt bool
	}
	got := map[change]float64{}
	for _, e := range answers.Effects(b, b.Own()) {
		got[change{e.Quantity.Key, e.Doubt}] = e.Share
	}
	for of, want := range map[change]float64{
		{"body.drag", true}: 0.2, {"chamber.pressure", true}: 0.02, {"chamber.gas_thrust", true}: 0,
		{"fins.density", false}: 0.1, {"chamber.pressure", false}: 0, {"payload.mass", false}: 0,
	} {
		if share, ok := got[of]; !ok || math.Abs(share-want) > 1e-6 {
			t.Errorf("%+v: a share of %v, there %v, want %v", of, share, ok, want)
		}
	}
}

// TestWeighedSteps leaves the fins of a weighed rocket as they are.
func TestWeighedSteps(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	b.Rocket.Weighed = model.Weighed{Mass: 0.925, Balance: 0.757}
	for _, e := range answers.Effects(b, b.Own()) {
		if strings.HasPrefix(e.Quantity.Key, "fins.") {
			t.Errorf("%s of a weighed rocket changes", e.Quantity.Key)
		}
	}
}

// TestNewlyMissed names limits that a change breaks, but not those that the
// design itself misses.
func TestNewlyMissed(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	speed, _ := f.Figure(model.LandingSpeed)
	at := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Metric.Key == "landing_speed" })
	if at < 0 {
		t.Fatal("no limit on the landing speed")
	}
	for _, row := range []struct {
		atMost float64
		want   bool
	}{{speed * 1.01, true}, {speed * 0.99, false}} {
		b.Limits[at].AtMost = row.atMost
		got := false
		for _, e := range answers.Effects(b, b.Own()) {
			got = got || e.Doubt == false && e.Quantity.Key == "payload.mass" && slices.Contains(e.Missed, "landing_speed")
		}
		if got != row.want {
			t.Errorf("at most %v, as set %v: a heavier payload newly misses it %v, want %v", row.atMost, speed, got, row.want)
		}
	}
}
