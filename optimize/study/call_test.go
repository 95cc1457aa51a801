package study_test

import (
	"slices"
	"strconv"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

func call(b *brief.Brief) study.Call { return study.NewCaller(b).Call(&b.Rocket, &b.Site) }

// TestCall holds the three words to their rules on rockets that are steady, on
// the edge of a limit, and beyond it.
func TestCall(t *testing.T) {
	for _, row := range []struct {
		why     string
		limit   string // on landing_speed of a rocket that lands at about 4 m/s
		word    study.Word
		lacking []string
	}{
		{"far inside", "9 m/s", study.Go, nil},
		{"kept as set, by few flights under scatter", "4.03 m/s", study.Tight, []string{"landing_speed"}},
		{"missed as set", "3 m/s", study.NoGo, []string{"landing_speed"}},
	} {
		b := briefs.Parse(t, briefs.Edited(t, "highest-in-class.toml",
			`landing_speed = { at_most = "5.5 m/s" }`, `landing_speed = { at_most = "`+row.limit+`" }`))
		c := call(b)
		if c.Word != row.word || !slices.Equal(c.Lacking(b), row.lacking) {
			t.Errorf("%s: %v for %v (%v), want %v for %v", row.why, c.Word, c.Lacking(b), c.All, row.word, row.lacking)
		}
		if !c.Usual {
			t.Errorf("%s: a brief without [scatter] is not called by the usual one", row.why)
		}
		if decided := row.word == study.NoGo; (c.Chances == nil) != decided || (c.All.Flights == 0) != decided || (len(c.Apogees) == 0) != decided {
			t.Errorf("%s: %d chances, %v, want flights under scatter unless the flight as set decides", row.why, len(c.Chances), c.All)
		}
		if goes := study.NewCaller(b).Goes(&b.Rocket, &b.Site); goes != (row.word == study.Go) {
			t.Errorf("%s: Goes = %v, Call %v", row.why, goes, c.Word)
		}
	}
}

// TestCallOfProof holds that the proof pressure is judged as set, whatever is drawn:
// a chamber that was tested to less than the rule wants is no go, and one to as much
// keeps it in every flight.
func TestCallOfProof(t *testing.T) {
	for _, row := range []struct {
		ratio float64
		goes  bool
	}{{1.49, false}, {1.5, true}, {1.51, true}} {
		b := briefs.Demo(t, "highest-in-class.toml")
		b.Rocket.Chamber.Proof = row.ratio * b.Rocket.Chamber.Pressure
		k := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Metric.Key == "proof_ratio" })
		if k < 0 {
			t.Fatal("no limit on the proof ratio: want the default one")
		}
		c := call(b)
		if (c.Word != study.NoGo) != row.goes {
			t.Errorf("tested to %g times the pressure: %v, lacking %v", row.ratio, c.Word, c.Lacking(b))
		}
		if c.Chances != nil && c.Chances[k].Met != c.Chances[k].Flights {
			t.Errorf("tested to %g times the pressure: kept in %v flights, want all", row.ratio, c.Chances[k])
		}
	}
}

// TestCallShares draws a limit between the flights of a call, one after the
// other: 380 of 400 kept are GO, 379 are TIGHT, and so are 200, but not 199.
func TestCallShares(t *testing.T) {
	limited := func(speed string) *brief.Brief {
		return briefs.Parse(t, briefs.Edited(t, "highest-in-class.toml",
			`deploy_speed  = { at_most = "15 m/s" }`, `deploy_speed  = { at_most = "`+speed+` m/s" }`))
	}
	b, scratch := limited("90"), model.NewScratch()
	draws, _ := scatter.ForCall(b, study.CallFlights, 1)
	st, _ := model.Weigh(&b.Rocket, &b.Site)
	own := study.OnScale(&b.Rocket, &st)
	var speeds []float64
	for i := range draws.Flights() {
		var r model.Rocket
		var s model.Site
		draws.At(i, &own, &b.Site, &r, &s)
		f := model.Fly(&r, &s, scratch)
		v, _ := f.Figure(model.DeploySpeed)
		speeds = append(speeds, v)
	}
	slices.Sort(speeds)
	nominal := model.Fly(&b.Rocket, &b.Site, scratch)
	if v, _ := nominal.Figure(model.DeploySpeed); v > speeds[198] {
		t.Fatalf("as set it opens at %v m/s, want less than most flights under scatter, %v m/s", v, speeds[198])
	}
	for _, row := range []struct {
		kept int
		word study.Word
	}{{400, study.Go}, {380, study.Go}, {379, study.Tight}, {200, study.Tight}, {199, study.NoGo}} {
		speed := speeds[row.kept-1] + 1e-6
		if row.kept < len(speeds) {
			speed = (speeds[row.kept-1] + speeds[row.kept]) / 2
		}
		b := limited(strconv.FormatFloat(speed, 'g', -1, 64))
		c := call(b)
		at := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Metric.Key == "deploy_speed" })
		if c.Word != row.word || c.Chances[at].Met != row.kept {
			t.Errorf("%d of 400 kept: called %v by %v", row.kept, c.Word, c.Chances[at])
		}
		if goes := study.NewCaller(b).Goes(&b.Rocket, &b.Site); goes != (row.word == study.Go) {
			t.Errorf("%d of 400 kept: Goes = %v", row.kept, goes)
		}
		if lacks := slices.Contains(c.Lacking(b), "deploy_speed"); lacks != (row.word != study.Go) {
			t.Errorf("%d of 400 kept: it decides against GO: %v", row.kept, lacks)
		}
		if word := study.NewCaller(b).WordOf(&b.Rocket, &b.Site); word != row.word {
			t.Errorf("%d of 400 kept: WordOf = %v", row.kept, word)
		}
	}
}

// TestCallCountsFlights counts again, by the model alone, what a call counts.
func TestCallCountsFlights(t *testing.T) {
	b := briefs.Demo(t, "field-day.toml", "site.wind=4 m/s")
	c := call(b)
	if c.Usual || c.All.Flights != study.CallFlights || c.Chances == nil {
		t.Fatalf("call %+v, want 400 flights by the brief's own scatter", c)
	}
	least := 1.0
	for k, chance := range c.Chances {
		if b.Limits[k].Safety() {
			least = min(least, chance.Share())
		}
		if chance.Flights != study.CallFlights {
			t.Errorf("%s: %d flights, want %d", b.Limits[k].Metric.Key, chance.Flights, study.CallFlights)
		}
	}
	if want := map[bool]study.Word{true: study.Go, false: study.Tight}[least >= 0.95]; c.Word != want || least < 0.5 {
		t.Errorf("the least share is %v: called %v, want %v", least, c.Word, want)
	}
	if c.All.Share() > least {
		t.Errorf("all limits are kept in %v of the flights, one of them in %v", c.All.Share(), least)
	}
}

// TestCallWithoutLimits does not let a rocket go that nobody judged: without a
// word on limits, one that tumbles is NO-GO.
func TestCallWithoutLimits(t *testing.T) {
	text := briefs.Edited(t, "bottle.toml", "[limits]\nmargin        = { at_least = 1.0 }\nflutter_factor = { at_least = 1.3 }\nlanding_speed = { at_most = \"6 m/s\" }\ndeploy_speed  = { at_most = \"12 m/s\" }\n", "")
	b := briefs.Parse(t, text, "fins.span=50 mm", "ballast.mass=0 g")
	c := call(b)
	if lacking := c.Lacking(b); c.Word != study.NoGo || !slices.Contains(lacking, "margin") {
		t.Errorf("called %v, lacking %v; want NO-GO for its margin", c.Word, lacking)
	}
	f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	if m, _ := f.Figure(model.Margin); m > -1 {
		t.Fatalf("margin %v, want a rocket that tumbles", m)
	}
}

// TestCallClass gives a limit of a class its share but no word.
func TestCallClass(t *testing.T) {
	b := briefs.Parse(t, briefs.Edited(t, "highest-in-class.toml", `dry_mass      = { at_most = "500 g" }`, `apogee        = { at_least = "500 m" }`))
	c := call(b)
	at := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Metric.Key == "apogee" })
	if c.Word != study.Go || constraints.Kept(c.Slacks[at]) || c.Chances[at].Share() != 0 {
		t.Errorf("called %v, apogee's slack %v, share %v; want GO beside a height that is never reached", c.Word, c.Slacks[at], c.Chances[at].Share())
	}
}
