package pad

import (
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
)

// A Mend is the smallest change of one thing by which a design would be GO.
type Mend struct {
	Quantity       *brief.Quantity
	Planned, Value float64 // SI
}

// A knob is what can still be changed on a rocket, one way, by steps as they
// are set (common practice, no source).
type knob struct {
	key     string
	step    float64 // SI, with its sign
	doubled int     // times that the step is doubled at most
	before  bool    // only before the rocket was built and weighed
}

// The launch pressure is never raised.
var knobs = []knob{
	{"chamber.pressure", -0.1e5, 6, false},
	{"chamber.fill", -0.005, 6, false},
	{"chamber.fill", 0.005, 6, false},
	{"recovery.delay", -0.1, 6, false},
	{"recovery.delay", 0.1, 6, false},
	{"ballast.mass", 0.005, 6, false},
	{"payload.mass", -0.005, 6, false},
	{"site.tilt", -math.Pi / 180, 2, false},
	{"recovery.canopy", 0.05, 4, false},
	{"fins.span", 0.005, 4, true},
}

// mends returns, for each thing that could still be changed, the smallest
// change found with which goes reports GO: by flights, going from step to twice
// the step until it does, then halving. What no such change mends is left out.
func mends(goes func(*model.Rocket, *model.Site) bool, r *model.Rocket, s *model.Site) []Mend {
	var mends []Mend
	for _, k := range knobs {
		if k.before && r.Weighed.Mass > 0 || strings.HasPrefix(k.key, "recovery.") && r.Recovery.Canopy == 0 {
			continue
		}
		q := brief.MustQuantity(k.key)
		planned := q.Value(r, s)
		if k.key == "ballast.mass" && r.Ballast.Station == 0 {
			continue // the brief has no place for it
		}
		mended := func(steps int) bool {
			v := planned + float64(steps)*k.step
			rocket, site := *r, *s
			q.Set(&rocket, &site, v)
			return q.Holds(v) && goes(&rocket, &site)
		}
		bad, good, most := 0, 1, 1<<k.doubled
		for good <= most && !mended(good) {
			bad, good = good, 2*good
		}
		if good > most {
			continue
		}
		for good-bad > 1 {
			if mid := (good + bad) / 2; mended(mid) {
				good = mid
			} else {
				bad = mid
			}
		}
		mends = append(mends, Mend{Quantity: q, Planned: planned, Value: planned + float64(good)*k.step})
	}
	return mends
}

// withCanopies returns mends of a design of b in which a canopy comes with its
// mass, where the brief has a list of them: the next larger one that mends.
func withCanopies(b *brief.Brief, mends []Mend, goes func(*model.Rocket, *model.Site) bool, r *model.Rocket, s *model.Site) []Mend {
	i := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Masses != nil })
	if i < 0 {
		return mends
	}
	list := &b.Vary[i]
	at := slices.IndexFunc(mends, func(m Mend) bool { return m.Quantity.Key == list.Key })
	if at >= 0 {
		mends = slices.Delete(mends, at, at+1) // with the mass of another
	} else {
		at = len(mends)
	}
	planned := list.Value(r, s)
	for _, v := range slices.Sorted(slices.Values(list.Choices)) {
		rocket, site := *r, *s
		list.Put(&rocket, &site, v)
		if v > planned && goes(&rocket, &site) {
			return slices.Insert(mends, at, Mend{Quantity: list.Quantity, Planned: planned, Value: v})
		}
	}
	return mends
}
