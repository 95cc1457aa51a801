package fleet

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"ullage/optimize"
	"ullage/optimize/study"
	"ullage/optimize/sweep"
)

// What of an answer is flown again here. All that is to enter a front is.
const (
	wholeShare = 32 // one answer in so many, from end to end
	restShare  = 8  // one of the designs that are not of the front
	rowShare   = 16 // one row of a sweep
)

var errOther = errors.New("another answer than what is flown here")

// inspect tells what is wrong with the body of an answer to a job: what no
// answer can be, or what comes out otherwise here. whole has all of it flown
// again, which chance does with the answer of any worker. An error may also be
// that of ctx.
func (f *flier) inspect(ctx context.Context, j *Job, body []byte, whole bool) (err error) {
	defer f.land(j, &err)
	if err := f.learn(j); err != nil {
		return err
	}
	switch {
	case j.Leg != nil:
		var ends bool
		ends, err = f.inspectIsland(ctx, j.Leg, body)
		whole = whole || ends
	case j.Stretch.Mode == sweep.FrontMode:
		err = f.inspectTally(ctx, j, body)
	default:
		err = f.inspectRows(ctx, j, body)
	}
	if err != nil || !whole && rand.IntN(wholeShare) > 0 {
		return err
	}
	want, err := f.fly(ctx, j)
	if err == nil && !bytes.Equal(body, want) {
		err = errOther
	}
	return err
}

// inspectIsland flies again what is new in an island. It reports whether the
// answer ends the island, which is worth a flight of all of it.
func (f *flier) inspectIsland(ctx context.Context, l *Leg, body []byte) (ends bool, err error) {
	var had, got optimize.Island
	if err := had.UnmarshalBinary(l.Island); err != nil {
		return false, err
	}
	if err := got.UnmarshalBinary(body); err != nil {
		return false, err
	}
	if err := got.Check(f.problem, l.Settings, l.Index); err != nil {
		return false, err
	}
	if n := int64(got.Flights - had.Flights); n > l.flights() || n <= 0 && !got.Exhausted {
		return false, fmt.Errorf("%d flights after %d", got.Flights, had.Flights)
	}
	archived, others := got.Since(f.problem, &had)
	fly := f.problem.Guarded()
	for i, designs := range [][]optimize.Design{archived, others} {
		for _, d := range designs {
			if i > 0 && rand.IntN(restShare) > 0 {
				continue
			}
			if ctx.Err() != nil {
				return false, ctx.Err()
			}
			if err := f.compare(fly, d.X, &d.Result); err != nil {
				return false, err
			}
		}
	}
	return got.Exhausted, nil
}

// compare flies a design and holds the result against one that was sent.
func (f *flier) compare(fly func(x []float64, r *optimize.Result), x []float64, sent *optimize.Result) error {
	r := optimize.Result{Goals: make([]float64, f.problem.Goals), Violations: make([]float64, f.problem.Limits)}
	fly(x, &r)
	if r.Failed != sent.Failed || r.Slack != sent.Slack || !slices.Equal(r.Goals, sent.Goals) || !slices.Equal(r.Violations, sent.Violations) {
		return fmt.Errorf("design %v: goals %v and slack %v, flown here %v and %v", x, sent.Goals, sent.Slack, r.Goals, r.Slack)
	}
	return nil
}

// inspectTally flies again the members of a tally.
func (f *flier) inspectTally(ctx context.Context, j *Job, body []byte) error {
	var t sweep.Tally
	if err := json.Unmarshal(body, &t); err != nil {
		return err
	}
	if err := t.Check(f.problem, j.Stretch.From, j.Stretch.To); err != nil {
		return err
	}
	plan, err := j.Stretch.plan(f.problem, j.Seed)
	if err != nil {
		return err
	}
	fly := f.problem.Guarded()
	x := make([]float64, len(f.problem.Variables))
	r := optimize.Result{Goals: make([]float64, f.problem.Goals), Violations: make([]float64, f.problem.Limits)}
	for i, m := range slices.Concat(t.Front, t.Nearest) {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		plan.At(m.Number, x)
		fly(x, &r)
		meets := !slices.ContainsFunc(r.Violations, func(v float64) bool { return v > 0 })
		if r.Failed || r.Slack != m.Slack || !slices.Equal(r.Goals, m.Goals) || meets != (i < len(t.Front)) {
			return fmt.Errorf("design %d: goals %v and slack %v, flown here %v and %v", m.Number, m.Goals, m.Slack, r.Goals, r.Slack)
		}
	}
	return nil
}

// inspectRows flies some of the rows again.
func (f *flier) inspectRows(ctx context.Context, j *Job, body []byte) error {
	s := j.Stretch
	plan, err := s.plan(f.problem, j.Seed)
	if err != nil {
		return err
	}
	fly, err := study.Keeper(f.brief, s.Numbers)
	if err != nil {
		return err
	}
	x := make([]float64, len(f.problem.Variables))
	var want study.Kept
	var flaw error
	err = eachRow(body, int(s.To-s.From), f.problem.Limits, len(s.Numbers), func(i int, k *study.Kept) {
		if ctx.Err() != nil || rand.IntN(rowShare) > 0 {
			return
		}
		plan.At(s.From+int64(i), x)
		fly(x, &want)
		if !sameKept(k, &want) {
			flaw = fmt.Errorf("design %d: %v, flown here %v", s.From+int64(i), *k, want)
		}
	})
	return errors.Join(err, flaw, ctx.Err())
}

func sameKept(a, b *study.Kept) bool {
	return a.Outcome == b.Outcome && a.Feasible == b.Feasible && slices.Equal(a.Missed, b.Missed) &&
		slices.EqualFunc(a.Numbers, b.Numbers, func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) })
}
