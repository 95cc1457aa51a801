package optimize

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
)

const (
	epochGenerations = 25 // between two barriers
	migrantShare     = 10 // one in so many designs is copied to the next island
)

// A Runner flies one epoch of an island, here or elsewhere. Where it returns
// an error that is not of the context, the search ends with that error.
type Runner func(ctx context.Context, isl Island) (Island, error)

// Local returns a Runner that flies the epochs of a search of p with the
// settings s in this process. It runs at most workers islands at a time, at
// least one; where islands are fewer, several workers share the children of a
// generation, so that about workers evaluations run at a time.
func Local(p *Problem, s Settings, workers int) Runner {
	s = s.filled(p)
	workers = max(workers, 1)
	slots := make(chan struct{}, workers)
	crew := (workers + s.Islands - 1) / s.Islands
	return func(ctx context.Context, isl Island) (Island, error) {
		slots <- struct{}{}
		defer func() { <-slots }()
		return Epoch(ctx, p, s, isl, epochGenerations, crew)
	}
}

// Evolve searches p with the flights that s allows. report, which may be nil,
// is called for each island at each barrier, one call at a time, in the order
// of epochs and islands. The outcome does not depend on workers.
//
// When ctx ends, Evolve waits for the evaluations that are under way and
// returns what was found, with Stop "interrupted" and no error. It errs, and
// flies nothing, only where p or s cannot be searched; the error then lists all
// that is wrong with them.
func Evolve(ctx context.Context, p *Problem, s Settings, workers int, report func(Record)) (Outcome, error) {
	reported := 0
	return Continue(ctx, p, s, State{}, Local(p, s, workers), func(st State) error {
		for ; report != nil && reported < len(st.Records); reported++ {
			report(st.Records[reported])
		}
		return nil
	})
}

// Continue is Evolve from a state that an earlier call passed to barrier, with
// the same p and s: its outcome is the one that the earlier call would have
// had. run flies the epochs. barrier is called with the state at each barrier,
// the last one included; it may keep the state. An epoch that ctx ends is in the
// outcome, but in no state.
//
// It errs as Evolve does, where from is of another problem or other settings,
// and with the error of run or of barrier, which ends the search.
func Continue(ctx context.Context, p *Problem, s Settings, from State, run Runner, barrier func(State) error) (Outcome, error) {
	s = s.filled(p)
	if err := errors.Join(p.check(), s.check(), p.affordable(s)); err != nil {
		return Outcome{}, err
	}
	if err := from.check(p, s); err != nil {
		return Outcome{}, err
	}
	c := course{problem: p, settings: s, State: from.clip()}
	if c.Islands == nil {
		c.Islands = make([]Island, s.Islands)
		for i := range c.Islands {
			c.Islands[i].Index = i
		}
	}
	for !c.done() {
		c.Barrier++
		err := together(ctx, run, c.Islands)
		if err != nil && ctx.Err() == nil {
			return Outcome{}, fmt.Errorf("epoch %d: %w", c.Barrier, err)
		}
		c.record()
		if ctx.Err() != nil && !c.done() {
			return c.outcome(interrupted), nil
		}
		migrate(p, s, c.Islands)
		if err := barrier(c.clip()); err != nil {
			return Outcome{}, err
		}
	}
	if slices.ContainsFunc(c.Islands, func(isl Island) bool { return isl.Exhausted }) {
		return c.outcome("exhausted"), nil
	}
	return c.outcome("flights"), nil
}

// interrupted is the stop of a search whose context ended.
const interrupted = "interrupted"

func (c *course) done() bool {
	return !slices.ContainsFunc(c.Islands, func(isl Island) bool { return !isl.done(c.problem, c.settings) })
}

func (isl *Island) done(p *Problem, s Settings) bool {
	return isl.Exhausted || isl.Flights >= s.share(isl.Index)/p.cost()
}

// together runs an epoch of every island that is not done and waits for all.
func together(ctx context.Context, run Runner, islands []Island) error {
	faults := make([]error, len(islands))
	var busy sync.WaitGroup
	for i := range islands {
		busy.Go(func() { islands[i], faults[i] = run(ctx, islands[i]) })
	}
	busy.Wait()
	return errors.Join(faults...)
}

// migrate appends copies of the best of each island to the next in the ring,
// apart from designs that it knows. They compete there in the generation that
// follows.
func migrate(p *Problem, s Settings, islands []Island) {
	if len(islands) < 2 {
		return
	}
	leaving := make([][]int, len(islands))
	for i := range islands {
		leaving[i] = migrants(p, s, &islands[i])
	}
	sizes := make([]int, len(islands))
	for i := range islands {
		sizes[i] = islands[i].Population.Len()
	}
	n := len(p.Variables)
	for i := range islands {
		// What arrives is beyond the sizes noted above, and leaves no further.
		to := &islands[(i+1)%len(islands)]
		for _, row := range leaving[i] {
			from := &islands[i].Population
			print := fingerprint(from.Genes[row*n : row*n+n])
			known := false
			for k := 0; k < to.Population.Len() && !known; k++ {
				known = fingerprint(to.Population.Genes[k*n:k*n+n]) == print
			}
			if known || to.done(p, s) {
				continue
			}
			to.Population.appendRow(from, row)
			for k, v := range from.Violations[row*p.Limits : row*p.Limits+p.Limits] {
				to.Scales[k] = max(to.Scales[k], v)
			}
			if s.Algorithm == Default && !memory(to.Flown).holds(print) {
				to.Flown = memory(to.Flown).with(print, to.Held)
				to.Held++
			}
		}
	}
}

// migrants returns the best tenth: of the feasible those that dominate most
// together, else the least violating.
func migrants(p *Problem, s Settings, isl *Island) []int {
	rows := &isl.Population
	want := min((s.Population+migrantShare-1)/migrantShare, rows.Len())
	var usable []int
	var goals, slack []float64
	for i := range rows.Len() {
		if rows.feasible(i) {
			usable = append(usable, i)
			goals = append(goals, rows.Goals[i*p.Goals:i*p.Goals+p.Goals]...)
			slack = append(slack, rows.Slack[i])
		}
	}
	var best []int
	var sel selector
	for _, k := range sel.pick(goals, p.Goals, slack, min(want, len(usable))) {
		best = append(best, usable[k])
	}
	for i := 0; i < rows.Len() && len(best) < want && !rows.Failed[i]; i++ {
		if !rows.feasible(i) {
			best = append(best, i)
		}
	}
	return best
}

func (r *Rows) feasible(i int) bool {
	_, _, l := r.widths()
	return !r.Failed[i] && !slices.ContainsFunc(r.Violations[i*l:i*l+l], func(v float64) bool { return v > 0 })
}
