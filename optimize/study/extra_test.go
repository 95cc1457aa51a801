package study

import (
	"math"
	"slices"
	"testing"

	"ullage/testdata/briefs"

	"ullage/model"
	"ullage/optimize/brief"
)

func extra(b *brief.Brief) extras {
	scratch := model.NewScratch()
	f := model.Fly(&b.Rocket, &b.Site, scratch)
	e, _ := extraOf(b, &b.Rocket, &b.Site, &f, scratch)
	return e
}

// met reports whether every limit holds at a timer setting.
func met(b *brief.Brief, delay float64) bool {
	r := b.Rocket
	r.Recovery.Delay = delay
	f := model.Fly(&r, &b.Site, model.NewScratch())
	return NewJudge(b).Of(&r, &b.Site, &f).Kept
}

// stable is the bottle with enough ballast to meet its limits.
func stable(t *testing.T, limits string) *brief.Brief {
	t.Helper()
	b, err := brief.Parse("x.toml", briefs.Edited(t, "bottle.toml", `margin        = { at_least = 1.0 }`, limits))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// judgedOnly switches the default limits off.
const judgedOnly = "margin = \"none\"\ndry_margin = \"none\"\npeak_incidence = \"none\"\n"

func TestBareFigures(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	bare := model.Bare(&b.Rocket, &b.Site, model.NewScratch())
	drift, _ := bare.Figure(model.Drift)
	speed, _ := bare.Figure(model.LandingSpeed)
	e := extra(b)
	if e[brief.BareDrift] != drift || e[brief.BareLandingSpeed] != speed {
		t.Errorf("extra = %+v, want bare drift %v and landing speed %v", e, drift, speed)
	}
	if !math.IsNaN(e[brief.DeployEarliest]) || !math.IsNaN(e[brief.DeployLatest]) {
		t.Errorf("extra = %+v, want no timer settings for a design that misses limits", e)
	}
}

// Both ends of the range are where a limit begins to fail, within the hundredth
// of a second that they are found to, and no setting between them fails.
func TestTimerSettings(t *testing.T) {
	b := stable(t, judgedOnly)
	e := extra(b)
	if math.IsNaN(e[brief.DeployEarliest]) || math.IsNaN(e[brief.DeployLatest]) {
		t.Fatalf("extra = %+v, want both settings", e)
	}
	earliest, latest := e[brief.DeployEarliest], e[brief.DeployLatest]
	own := b.Rocket.Recovery.Delay
	if !(earliest < own && own < latest) {
		t.Errorf("settings %g to %g, want the brief's own %g inside", earliest, latest, own)
	}
	for i := range 101 {
		if at := earliest + (latest-earliest)*float64(i)/100; !met(b, at) {
			t.Errorf("a limit fails at %g s, inside %g to %g", at, earliest, latest)
		}
	}
	if met(b, earliest-0.01) || met(b, latest+0.01) {
		t.Errorf("all limits hold 0.01 s outside %g to %g", earliest, latest)
	}
}

func TestTimerSettingsWithoutEnds(t *testing.T) {
	for _, row := range []struct {
		limits           string
		earliest, latest float64 // NaN: none
	}{
		{`"recovery.delay" = { at_least = "3 s" }`, 3, math.NaN()},
		{`"recovery.delay" = { at_most = "3.6 s" }`, 0, 3.6},
		{`"recovery.delay" = { at_most = "3 s" }`, math.NaN(), math.NaN()},
		{`"recovery.delay" = { at_least = "3.4 s", at_most = "3.4 s" }`, 3.4, 3.4},
		{``, 0, math.NaN()},
	} {
		src := briefs.Edited(t, "bottle.toml", "margin        = { at_least = 1.0 }\n", row.limits+"\n"+judgedOnly,
			"flutter_factor = { at_least = 1.3 }\n", "", "landing_speed = { at_most = \"6 m/s\" }\n", "landing_speed = \"none\"\n",
			"deploy_speed  = { at_most = \"12 m/s\" }\n", "deploy_speed = \"none\"\n")
		b, err := brief.Parse("x.toml", src)
		if err != nil {
			t.Fatal(err)
		}
		e := extra(b)
		for i, want := range []float64{row.earliest, row.latest} {
			// 0.01: what the settings are found to.
			if got := e[brief.DeployEarliest+i]; math.IsNaN(got) != math.IsNaN(want) || math.Abs(got-want) > 0.01 {
				t.Errorf("limits %q: %s = %v, want %v", row.limits, brief.Extras[brief.DeployEarliest+i].Key, got, want)
			}
		}
	}
}

func TestExtraOfNoFlight(t *testing.T) {
	e := extra(briefs.Demo(t, briefs.High, "payload.mass=20 kg"))
	if slices.ContainsFunc(e[:], func(v float64) bool { return !math.IsNaN(v) }) {
		t.Errorf("extra of a rocket that stays on the pad = %+v, want nothing", e)
	}
}
