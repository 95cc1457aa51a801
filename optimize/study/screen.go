package study

import (
	"cmp"
	"context"
	"math"
	"slices"

	"ullage/constraints"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// A screening chooses designs that are worth a proof. It proves nothing itself:
// of many designs at their limits some pass by luck, and all of them fly under
// the same draws.
type screening struct {
	passed  []optimize.Design
	failed  []failure
	flights int
}

// A failure is a design that cannot pass, with the days that showed it.
type failure struct {
	optimize.Design
	days int
}

// A trial is what the days of one design told.
type trial struct {
	days   int   // flown until it was clear
	missed []int // of them, those on which a limit was missed
	passed bool
}

// share returns the share of the flights of a proof that must keep each limit.
func share(b *brief.Brief) float64 {
	days := b.Plan().Days
	needed, _ := constraints.Needed(days, b.Search.Robust.Confidence)
	return float64(needed) / float64(days)
}

// screen flies designs front after front, those of a front that together are
// best first, under draws that are neither the search's nor the proof's, and
// stops a design once some limit cannot be kept in the share of flights that the
// proof will ask for. What a design that passed beats is not flown. So many
// flights remain that each design that passed can be proved, and one at least.
func screen(ctx context.Context, b *brief.Brief, designs []optimize.Design, workers int) screening {
	plan := b.Plan()
	draws := scatter.New(b, scatter.Screening, plan.Screen, plan.PerDay, b.Search.Seed)
	days := plan.ScreenDays()
	needed := int(math.Ceil(share(b) * float64(days)))
	var s screening
	left := slices.Clone(designs)
	hard := make([]int, days) // of each day, the designs that missed a limit on it
	for ctx.Err() == nil {
		room := (plan.Proof - s.flights - len(s.passed)*plan.Each) / (plan.Screen + plan.Each)
		batch := foremost(b, left, min(room, b.Search.Front-len(s.passed)))
		if len(batch) == 0 {
			break
		}
		left = without(left, batch)
		order := hardest(hard)
		trials := make([]trial, len(batch))
		whole := Each(ctx, len(batch), workers, func() func(i int) {
			e := newEnsemble(b, draws)
			return func(i int) { trials[i] = e.passes(batch[i].X, order, needed) }
		})
		if !whole {
			break
		}
		for i, d := range batch {
			t := &trials[i]
			s.flights += t.days * plan.PerDay
			for _, day := range t.missed {
				hard[day]++
			}
			if t.passed {
				s.passed = append(s.passed, d)
				left = slices.DeleteFunc(left, func(o optimize.Design) bool { return beats(d, o) })
			} else {
				s.failed = append(s.failed, failure{d, t.days})
			}
		}
	}
	// What failed last came nearest.
	slices.SortStableFunc(s.failed, func(a, c failure) int { return cmp.Compare(c.days, a.days) })
	return s
}

// foremost returns at most n of the designs that no other one beats.
func foremost(b *brief.Brief, designs []optimize.Design, n int) []optimize.Design {
	front := optimize.NewFront(len(b.Vary), len(b.Goals))
	for _, d := range designs {
		front.Offer(d.X, d.Goals, d.Slack)
	}
	return optimize.Choose(front.Designs(), n)
}

// safer is the slack by which a design must be further off its limits than
// another for it to be worth a proof although it is no better in any goal: a
// builder may choose it, and where the bolder one fails the proof it is left.
// Slack is in shares of the bounds. Ours.
const safer = 0.01

// beats reports whether d is as good as o in every goal, and nearly as far off
// its limits.
func beats(d, o optimize.Design) bool {
	for k, v := range d.Goals {
		if v > o.Goals[k] {
			return false
		}
	}
	return o.Slack < d.Slack+safer
}

// hardest returns the days in the order in which they show soonest that a design
// fails: designs that are alike fail on the same ones.
func hardest(hard []int) []int {
	order := make([]int, len(hard))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(hard[k], hard[i]) })
	return order
}
