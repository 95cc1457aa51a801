package sweep

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"ullage/optimize"
)

// A Tally is what a sweep that keeps no rows knows after its first designs. The
// zero Tally is one that has not begun.
type Tally struct {
	Next     int64     // the designs below it are in
	Feasible int64     // of them, those that meet every limit
	Failed   int64     // of them, those that could not be computed
	Missed   []int64   // of each limit, the designs that miss it; failed ones are not counted
	Worst    []float64 // of each goal, the largest among feasible designs; nil: none yet

	// Front holds the feasible designs that no other dominates: all of them, but
	// of designs equal in every goal only the one with the largest slack, of those
	// the first of the plan. Goals rise along it.
	Front []Member

	// Nearest holds, while no design is feasible, those whose worst limit is
	// missed by least, the least first, at most 20.
	Nearest []Member
}

// A Member is one design that a Tally keeps.
type Member struct {
	Number int64     // in the plan, from 0
	Goals  []float64 // minimised
	Slack  float64   // as in its result
}

const mostNearest = 20

// Check errs where t holds what no tally of the designs from ≤ number < to of p
// can: counts that do not add up, or members of other numbers or goals.
func (t *Tally) Check(p *optimize.Problem, from, to int64) error {
	if t.Next != to || t.Feasible < 0 || t.Failed < 0 || t.Feasible > to-from-t.Failed || len(t.Missed) != p.Limits ||
		t.Worst != nil && len(t.Worst) != p.Goals || (t.Worst == nil) != (t.Feasible == 0) || int64(len(t.Front)) > t.Feasible || len(t.Nearest) > mostNearest {
		return fmt.Errorf("tally: counts that designs %d to %d cannot have", from, to-1)
	}
	for _, members := range [][]Member{t.Front, t.Nearest} {
		for _, m := range members {
			if m.Number < from || m.Number >= to || len(m.Goals) != p.Goals {
				return fmt.Errorf("tally: member %d with %d goals, want designs %d to %d with %d", m.Number, len(m.Goals), from, to-1, p.Goals)
			}
		}
	}
	for _, n := range t.Missed {
		if n < 0 || n > to-from {
			return fmt.Errorf("tally: %d designs miss a limit, want at most %d", n, to-from)
		}
	}
	return nil
}

// Advance flies the designs of plan, which is one of p, from t.Next up to, but
// without, number to, and takes them in. It reports false where ctx ended first;
// then t is as it was. The result does not depend on the workers, at least 1,
// nor on where one Advance ends and the next begins.
func (t *Tally) Advance(ctx context.Context, p *optimize.Problem, plan Plan, to int64, workers int) bool {
	counts := make(chan *count, workers)
	whole := Each(ctx, t.Next, to, workers, func() func(i int64) {
		c := newCount(p)
		counts <- c
		fly := p.Guarded()
		x := make([]float64, len(p.Variables))
		r := &optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
		return func(i int64) {
			plan.At(i, x)
			fly(x, r)
			c.take(i, r)
		}
	})
	close(counts)
	if !whole {
		return false
	}
	var found []Tally
	for c := range counts {
		c.Front = c.members()
		found = append(found, c.Tally)
	}
	t.Join(p, found, to)
	return true
}

// Join takes in what tallies of their own, in any order, found of the designs of
// p from t.Next up to, but without, number to: each of these designs is in one
// of them.
func (t *Tally) Join(p *optimize.Problem, found []Tally, to int64) {
	all := newCount(p)
	all.add(t)
	// A front keeps the first of equal designs: they must come in the plan's
	// order, whoever flew them.
	members := t.Front
	for i := range found {
		all.add(&found[i])
		members = append(members, found[i].Front...)
	}
	slices.SortFunc(members, func(a, b Member) int { return cmp.Compare(a.Number, b.Number) })
	for _, m := range members {
		all.front.Offer([]float64{float64(m.Number)}, m.Goals, m.Slack)
	}
	all.Front, all.Next = all.members(), to
	*t = all.Tally
}

// A count is the tally of one worker.
type count struct {
	Tally
	front *optimize.Front
}

func newCount(p *optimize.Problem) *count {
	return &count{Tally: Tally{Missed: make([]int64, p.Limits)}, front: optimize.NewFront(1, p.Goals)}
}

// take counts one flight.
func (c *count) take(i int64, r *optimize.Result) {
	if r.Failed {
		c.Failed++
		return
	}
	feasible := true
	for k, v := range r.Violations {
		if v > 0 {
			c.Missed[k]++
			feasible = false
		}
	}
	if !feasible {
		if c.Feasible == 0 {
			c.near(Member{i, r.Goals, r.Slack})
		}
		return
	}
	c.Feasible++
	c.worse(r.Goals)
	c.front.Offer([]float64{float64(i)}, r.Goals, r.Slack)
}

func (c *count) worse(goals []float64) {
	if c.Worst == nil {
		c.Worst = slices.Clone(goals)
	}
	for k, v := range goals {
		c.Worst[k] = max(c.Worst[k], v)
	}
}

// near keeps m, copying its goals, if it is among the nearest.
func (c *count) near(m Member) {
	if n := len(c.Nearest); n == mostNearest && nearer(c.Nearest[n-1], m) < 0 {
		return
	}
	m.Goals = slices.Clone(m.Goals)
	at, _ := slices.BinarySearchFunc(c.Nearest, m, nearer)
	c.Nearest = slices.Insert(c.Nearest, at, m)
	c.Nearest = c.Nearest[:min(len(c.Nearest), mostNearest)]
}

func nearer(a, b Member) int {
	return cmp.Or(cmp.Compare(b.Slack, a.Slack), cmp.Compare(a.Number, b.Number))
}

// add takes over the numbers of a tally, but not its front.
func (c *count) add(t *Tally) {
	c.Feasible += t.Feasible
	c.Failed += t.Failed
	for k, n := range t.Missed {
		c.Missed[k] += n
	}
	if t.Worst != nil {
		c.worse(t.Worst)
	}
	for _, m := range t.Nearest {
		c.near(m)
	}
	if c.Feasible > 0 {
		c.Nearest = nil
	}
}

func (c *count) members() []Member {
	designs := c.front.Designs()
	members := make([]Member, len(designs))
	for i, d := range designs {
		members[i] = Member{int64(d.X[0]), d.Goals, d.Slack}
	}
	return members
}
