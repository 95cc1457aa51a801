package fit

import (
	"math"
	"slices"

	"ullage/optimize/brief"
)

// A free says how a quantity of the brief takes part in a fit.
type free struct {
	key    string
	step   float64 // SI, of differences
	enough float64 // SI: a larger deviation says less than the trade knows anyway
	doubt  float64 // one deviation of what is not known before any flight: SI, or a share of the value
	share  bool    // doubt is
	starts []float64
}

// frees lists what a fit can free, with the uncertainty that the default of
// each is used with: common practice, no source. What a log leaves wider than
// that is not identifiable, and stays at its default.
//
// The impulse has one unknown, the velocity coefficient of the water jet:
// thrust goes with its square, the water phase lasts as long as its inverse,
// so that the impulse of the water is proportional to it. The discharge
// coefficient of the gas jet only changes how long its impulse takes; a height
// alone cannot tell the two apart, and it is freed on request.
var frees = []free{
	{key: "body.drag", step: 0.01, enough: 0.1, doubt: 0.2, share: true, starts: []float64{0.8, 1, 1.3}},
	{key: "chamber.jet", step: 0.002, enough: 0.02, doubt: 0.02},
	{key: "chamber.gas_jet", step: 0.005, enough: 0.05, doubt: 0.05},
	{key: "recovery.drag", step: 0.01, enough: 0.15, doubt: 0.15, share: true, starts: []float64{0.4, 0.6, 0.8, 1.1}},
	{key: "recovery.latency", step: 0.01, enough: 0.3, doubt: 0.1, starts: []float64{0, 0.15, 0.3, 0.6, 1, 1.5, 2.5, 4}},
}

// Freeable lists the keys that a fit can free, in the order of a Result.
func Freeable() []string {
	keys := make([]string, len(frees))
	for i := range frees {
		keys[i] = frees[i].key
	}
	return keys
}

// Usual lists what the log of one flight can tell, as a rule.
func Usual() []string {
	return []string{"body.drag", "chamber.jet", "recovery.drag", "recovery.latency"}
}

// Choose returns the Usual keys with those of free and without those of fix,
// each one of Freeable, in the order of Freeable.
func Choose(free, fix []string) []string {
	wanted := append(Usual(), free...)
	return slices.DeleteFunc(Freeable(), func(key string) bool {
		return !slices.Contains(wanted, key) || slices.Contains(fix, key)
	})
}

func freeOf(key string) *free {
	for i := range frees {
		if frees[i].key == key {
			return &frees[i]
		}
	}
	return nil
}

func quantityOf(key string) *brief.Quantity {
	all := brief.Quantities()
	for i := range all {
		if all[i].Key == key {
			return &all[i]
		}
	}
	return nil
}

// Of a log's own unknowns.
const (
	liftStep    = 5e-4 // s: no span of a thrust may come to lie across the release
	liftEnough  = 0.5  // s
	levelEnough = 5.0  // m, or N of a test stand
)

// An unknown is one number to estimate: a quantity of the brief, or lift-off or
// level of one log.
type unknown struct {
	*free    // nil for a log's own
	quantity *brief.Quantity
	log      int  // −1 for a quantity
	level    bool // not lift-off
	value    float64
	fallback float64
	fixed    bool
	why      string // it is
}

// doubt returns one deviation of what is known of a quantity before the fit, SI:
// what the brief says, or what the trade knows.
func (u *unknown) doubt(tracks []*track) float64 {
	if d := tracks[0].flight.Doubts[u.key]; d > 0 {
		return d
	}
	if u.share {
		return u.free.doubt * math.Abs(u.fallback)
	}
	return u.free.doubt
}

func (u *unknown) enough() float64 {
	switch {
	case u.free != nil:
		return u.free.enough
	case u.level:
		return levelEnough
	}
	return liftEnough
}

func (u *unknown) bounds() (low, high float64) {
	if u.quantity != nil {
		return u.quantity.Min, u.quantity.Max
	}
	return math.Inf(-1), math.Inf(1)
}
