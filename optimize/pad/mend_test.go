package pad

import (
	"math"
	"slices"
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/testdata/briefs"
)

// TestMends goes back from each mend: with it the rocket is GO, with a step less
// it is not, and none raises the pressure.
func TestMends(t *testing.T) {
	b := briefs.Demo(t, "lighter-or-stable.toml", "recovery.delay=4.6 s")
	caller := study.NewCaller(b)
	if caller.Goes(&b.Rocket, &b.Site) {
		t.Fatal("the timer is not late enough to need a mend")
	}
	mends := mends(caller.Goes, &b.Rocket, &b.Site)
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

const degree = math.Pi / 180

// smallestMends are changes from which on a design is GO, and the mends; in SI, NaN: none.
var smallestMends = []struct {
	key        string
	from, want float64
}{
	{"chamber.pressure", -2.35e5, -2.4e5},
	{"chamber.pressure", -0.04e5, -0.1e5},
	{"chamber.pressure", -6.4e5, -6.4e5},
	{"chamber.pressure", -6.41e5, math.NaN()},
	{"chamber.pressure", 0.1e5, math.NaN()},
	{"chamber.fill", -0.023, -0.025},
	{"chamber.fill", -0.32, -0.32},
	{"chamber.fill", -0.321, math.NaN()},
	{"chamber.fill", 0.061, 0.065},
	{"chamber.fill", 0.32, 0.32},
	{"chamber.fill", 0.321, math.NaN()},
	{"recovery.delay", -1.23, -1.3},
	{"recovery.delay", 6.4, 6.4},
	{"recovery.delay", 6.41, math.NaN()},
	{"ballast.mass", 0.317, 0.32},
	{"ballast.mass", 0.321, math.NaN()},
	{"ballast.mass", -0.005, math.NaN()},
	{"payload.mass", -0.071, -0.075},
	{"payload.mass", -0.32, -0.32},
	{"payload.mass", -0.321, math.NaN()},
	{"payload.mass", 0.005, math.NaN()},
	{"site.tilt", -2.5 * degree, -3 * degree},
	{"site.tilt", -4 * degree, -4 * degree},
	{"site.tilt", -4.1 * degree, math.NaN()},
	{"recovery.canopy", 0.42, 0.45},
	{"recovery.canopy", 0.8, 0.8},
	{"recovery.canopy", 0.81, math.NaN()},
	{"fins.span", 0.011, 0.015},
	{"fins.span", 0.08, 0.08},
	{"fins.span", 0.081, math.NaN()},
}

// TestSmallestMends says GO from a given change on: the mend is the step at which
// that begins, none where it begins too far off, and none the wrong way.
func TestSmallestMends(t *testing.T) {
	bottle := briefs.Demo(t, "bottle.toml", "ballast.mass=55 g", "site.tilt=4.5 deg", "payload.mass=400 g", "chamber.pressure=9 bar", "chamber.proof=14 bar", "chamber.fill=0.4")
	for _, row := range smallestMends {
		q := brief.MustQuantity(row.key)
		own := q.Value(&bottle.Rocket, &bottle.Site)
		mends := mends(func(r *model.Rocket, s *model.Site) bool {
			change := q.Value(r, s) - own
			return change*row.from > 0 && math.Abs(change) >= math.Abs(row.from)-1e-9
		}, &bottle.Rocket, &bottle.Site)
		switch {
		case math.IsNaN(row.want) && len(mends) > 0:
			t.Errorf("%s mended from %v on: %+v, want none", row.key, row.from, mends)
		case math.IsNaN(row.want):
		case len(mends) != 1 || mends[0].Quantity.Key != row.key || mends[0].Planned != own || math.Abs(mends[0].Value-own-row.want) > 1e-9*max(1, own):
			t.Errorf("%s of %v mended from %v on: %+v, want it changed by %v", row.key, own, row.from, mends, row.want)
		}
	}
	keys := func(r model.Rocket) (keys []string) {
		for _, m := range mends(func(*model.Rocket, *model.Site) bool { return true }, &r, &bottle.Site) {
			keys = append(keys, m.Quantity.Key)
		}
		return keys
	}
	if got := keys(bottle.Rocket); !slices.Contains(got, "fins.span") || !slices.Contains(got, "ballast.mass") {
		t.Errorf("changes of a plan: %v, want fins and ballast among them", got)
	}
	built := bottle.Rocket
	built.Weighed, built.Ballast = model.Weighed{Mass: 0.4, Balance: 0.3}, model.Part{}
	if got := keys(built); slices.Contains(got, "fins.span") || slices.Contains(got, "ballast.mass") || !slices.Contains(got, "payload.mass") {
		t.Errorf("changes of a weighed rocket without a place for ballast: %v, want neither fins nor ballast", got)
	}
}
