package pad

import (
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// Balance is how far the balance point of the empty rocket may lie off the
// design's, by flights.
type Balance struct {
	Holds bool // the design itself keeps every limit: else there is no tolerance

	// Fore and Aft are the largest shifts at which every limit holds, in m, > 0;
	// +Inf where all hold up to one body diameter.
	Fore, Aft float64
	Assumed   float64 // cal, least margin held where the brief limits none; 0: it does
}

// leastMargin is held where a brief limits no margin: common practice, no
// source.
const leastMargin = 1.0 // cal

const (
	balanceStrides = 45   // in a body diameter
	balanceStep    = 1e-4 // m, finer than anyone balances
)

// balance shifts the balance point with mass and pitch inertia as they are.
func balance(b *brief.Brief, judge *study.Judge, r *model.Rocket, s *model.Site, scratch *model.Scratch) (t Balance) {
	if !slices.ContainsFunc(b.Limits, func(l brief.Limit) bool {
		return slices.Contains([]model.Figure{model.Margin, model.GuideMargin, model.DryMargin}, l.Figure) && l.Quantity == nil
	}) {
		t.Assumed = leastMargin
	}
	st, ok := model.Weigh(r, s)
	if !ok {
		return t
	}
	weighed := study.OnScale(r, &st)
	holds := func(shift float64) bool {
		shifted := weighed
		shifted.Weighed.Balance += shift
		f := model.Fly(&shifted, s, scratch)
		margin, has := f.Figure(model.Margin)
		return has && (t.Assumed == 0 || margin >= t.Assumed) && judge.Of(&shifted, s, &f).Kept
	}
	if t.Holds = holds(0); !t.Holds {
		return t
	}
	d := r.Body.Diameter
	reach := func(to float64) float64 {
		shift, ends := study.Edge(0, to, d/balanceStrides, balanceStep, holds)
		if !ends {
			return math.Inf(1)
		}
		return math.Abs(shift)
	}
	t.Fore, t.Aft = reach(-d), reach(d)
	return t
}
