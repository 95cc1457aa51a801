package answers

import (
	"testing"

	"ullage/model"
	"ullage/optimize/brief"
)

// What a rocket has not cannot be changed, nor what is settled on one that was
// measured or weighed; all else can.
func TestChangeable(t *testing.T) {
	whole := func() model.Rocket {
		var r model.Rocket
		r.Chamber.Tube.Length, r.Body.Tail.Length = 0.3, 0.05
		r.Ballast.Station, r.Recovery.Mass, r.Recovery.Canopy = 0.1, 0.04, 0.9
		return r
	}
	without := map[string]struct {
		change func(r *model.Rocket)
		keys   []string
	}{
		"a volume that was not measured": {func(r *model.Rocket) { r.Chamber.Volume = 0.002 }, []string{"chamber.bore", "chamber.cylinder", "chamber.end"}},
		"a launch tube":                  {func(r *model.Rocket) { r.Chamber.Tube.Length = 0 }, []string{"chamber.tube.diameter", "chamber.tube.length"}},
		"a tail":                         {func(r *model.Rocket) { r.Body.Tail.Length = 0 }, []string{"body.tail.diameter", "body.tail.length"}},
		"a place for ballast":            {func(r *model.Rocket) { r.Ballast.Station = 0 }, []string{"ballast.mass"}},
		"a canopy of a mass":             {func(r *model.Rocket) { r.Recovery.Mass = 0 }, []string{"recovery.mass", "recovery.station"}},
		"a canopy":                       {func(r *model.Rocket) { r.Recovery.Canopy = 0 }, []string{"recovery.canopy", "recovery.drag", "recovery.delay", "recovery.latency", "recovery.line"}},
		"fins that are not on yet": {func(r *model.Rocket) { r.Weighed.Mass = 0.9 }, []string{
			"fins.count", "fins.root", "fins.tip", "fins.span", "fins.rake", "fins.thickness", "fins.station", "fins.density", "fins.shear_modulus", "fins.fillets",
		}},
	}
	all := whole()
	for _, q := range brief.Quantities() {
		if q := brief.MustQuantity(q.Key); !changeable(q, &all) {
			t.Errorf("%s of a rocket that has everything cannot be changed", q.Key)
		}
	}
	for what, c := range without {
		r := whole()
		c.change(&r)
		fixed := map[string]bool{}
		for _, key := range c.keys {
			fixed[key] = true
		}
		for _, q := range brief.Quantities() {
			if q := brief.MustQuantity(q.Key); changeable(q, &r) == fixed[q.Key] {
				t.Errorf("%s of a rocket without %s: changeable %v", q.Key, what, !fixed[q.Key])
			}
		}
	}
}
