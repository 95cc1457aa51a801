package optimize

import (
	"cmp"
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

// A Record is what one island had reached at one barrier.
type Record struct {
	Epoch       int // from 1
	Island      int // from 0
	Flights     int // of this island, from the start
	Feasible    int // of them
	Failed      int // of them
	Hypervolume float64
	Best        []float64 // of each goal, among the feasible designs; nil: there is none
}

// An Outcome is what a search found.
type Outcome struct {
	Flights  int
	Feasible int
	Failed   int

	// Archive holds all feasible non-dominated designs found, at most 5000
	// from 3 goals, by rising first goal. Where no design is feasible (Met is
	// false) it holds the least violating, at most a population of them, the
	// least first.
	Archive []Design
	Met     bool

	// Hypervolume is that of the archive below Reference, from 4 goals that
	// of 100 designs chosen from it. Reference lies at the worst feasible
	// design known at the first barrier that knew any; nil: none ever was.
	Hypervolume float64
	Reference   []float64

	Records []Record
	Stop    string // flights, interrupted, exhausted (every design of the grid was flown)
	Advice  string // what to change before searching again; empty: nothing
}

// Local returns a Runner that flies here, at most about workers evaluations at
// a time: as many islands, and where islands are fewer, the children of each
// generation by several workers.
func Local(p *Problem, s Settings, workers int) Runner {
	s = s.filled()
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
// returns what was found, with Stop "interrupted" and no error. An error says
// what is wrong with p or s.
func Evolve(ctx context.Context, p *Problem, s Settings, workers int, report func(Record)) (Outcome, error) {
	s = s.filled()
	if err := errors.Join(p.check(), s.check()); err != nil {
		return Outcome{}, err
	}
	return evolve(ctx, p, s, Local(p, s, workers), report)
}

func evolve(ctx context.Context, p *Problem, s Settings, run Runner, report func(Record)) (Outcome, error) {
	c := course{problem: p, settings: s}
	islands := make([]Island, s.Islands)
	for i := range islands {
		islands[i].Index = i
	}
	for epoch := 1; ; epoch++ {
		err := together(ctx, run, islands)
		if err != nil && ctx.Err() == nil {
			return Outcome{}, fmt.Errorf("epoch %d: %w", epoch, err)
		}
		c.barrier(epoch, islands, report)
		switch {
		case ctx.Err() != nil:
			return c.outcome(islands, "interrupted"), nil
		case !slices.ContainsFunc(islands, func(isl Island) bool { return !isl.done(s) }):
			stop := "flights"
			if slices.ContainsFunc(islands, func(isl Island) bool { return isl.Exhausted }) {
				stop = "exhausted"
			}
			return c.outcome(islands, stop), nil
		}
		migrate(p, s, islands)
	}
}

func (isl *Island) done(s Settings) bool {
	return isl.Exhausted || isl.Flights >= s.share(isl.Index)
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
			if known || to.done(s) {
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
	if len(usable) > 0 {
		var sel selector
		for _, k := range sel.pick(goals, p.Goals, slack, min(want, len(usable))) {
			best = append(best, usable[k])
		}
	}
	// The others stand behind the feasible, in their order.
	for i := len(usable); i < rows.Len() && len(best) < want && !rows.Failed[i]; i++ {
		best = append(best, i)
	}
	return best
}

func (r *Rows) feasible(i int) bool {
	_, _, l := r.widths()
	return !r.Failed[i] && !slices.ContainsFunc(r.Violations[i*l:i*l+l], func(v float64) bool { return v > 0 })
}

// A course is what Evolve remembers from barrier to barrier.
type course struct {
	problem   *Problem
	settings  Settings
	reference []float64
	records   []Record
	gains     []gain
}

// A gain is the hypervolume at a barrier, the largest of the islands.
type gain struct {
	flights int
	volume  float64
}

func (c *course) barrier(epoch int, islands []Island, report func(Record)) {
	if c.reference == nil {
		for i := range islands {
			if w := islands[i].Worst; w != nil && c.reference == nil {
				c.reference = slices.Clone(w)
			}
			for k, v := range islands[i].Worst {
				c.reference[k] = max(c.reference[k], v)
			}
		}
	}
	g := gain{}
	for i := range islands {
		isl := &islands[i]
		r := Record{Epoch: epoch, Island: i, Flights: isl.Flights, Feasible: isl.Feasible, Failed: isl.Failed}
		rows := &isl.Archive
		m := c.problem.Goals
		if rows.Len() > 0 {
			r.Best = slices.Clone(rows.Goals[:m])
		}
		for k := range rows.Goals {
			r.Best[k%m] = min(r.Best[k%m], rows.Goals[k])
		}
		if c.reference != nil {
			r.Hypervolume = Hypervolume(c.points(isl), c.reference)
		}
		c.records = append(c.records, r)
		if report != nil {
			report(r)
		}
		g.flights += isl.Flights
		g.volume = max(g.volume, r.Hypervolume)
	}
	c.gains = append(c.gains, g)
}

// points returns the goals of the archive, from 4 goals those of the
// population, whose hypervolume takes less time.
func (c *course) points(isl *Island) [][]float64 {
	m := c.problem.Goals
	var out [][]float64
	if m <= 3 {
		for i := range isl.Archive.Len() {
			out = append(out, isl.Archive.Goals[i*m:i*m+m])
		}
		return out
	}
	for i := range isl.Population.Len() {
		if isl.Population.feasible(i) {
			out = append(out, isl.Population.Goals[i*m:i*m+m])
		}
	}
	return out
}

func (c *course) outcome(islands []Island, stop string) Outcome {
	o := Outcome{Records: c.records, Stop: stop, Reference: c.reference}
	axes := make([]axis, len(c.problem.Variables))
	for i, v := range c.problem.Variables {
		axes[i] = newAxis(v)
	}
	for i := range islands {
		o.Flights += islands[i].Flights
		o.Feasible += islands[i].Feasible
		o.Failed += islands[i].Failed
	}
	o.Met = o.Feasible > 0
	if !o.Met {
		o.Archive = c.leastViolating(islands, axes)
		o.Advice = "no design meets the limits: widen a range or relax a limit"
		return o
	}
	o.Archive = c.merge(islands).designs(c.problem, axes)
	slices.SortFunc(o.Archive, func(a, b Design) int {
		return cmp.Or(slices.Compare(a.Goals, b.Goals), slices.Compare(a.X, b.X))
	})
	chosen := o.Archive
	if c.problem.Goals > 3 {
		chosen = Choose(chosen, 100)
	}
	points := make([][]float64, len(chosen))
	for i := range chosen {
		points[i] = chosen[i].Goals
	}
	if c.reference != nil {
		o.Hypervolume = Hypervolume(points, c.reference)
	}
	o.Advice = stalled(c.gains)
	return o
}

// merge returns the non-dominated designs of all archives.
func (c *course) merge(islands []Island) *Rows {
	m, n := c.problem.Goals, len(c.problem.Variables)
	var goals []float64
	for i := range islands {
		goals = append(goals, islands[i].Archive.Goals...)
	}
	tolerance := make([]float64, m)
	for k := range m {
		if low, high := extent(goals, m, k); high > low {
			tolerance[k] = sameGoals * (high - low)
		}
	}
	all := newArchive(m, Rows{}, nil)
	for i := range islands {
		rows := &islands[i].Archive
		for j := range rows.Len() {
			all.offer(rows.Genes[j*n:j*n+n], rows.Goals[j*m:j*m+m], rows.Slack[j], tolerance)
		}
	}
	out, _ := all.pack()
	return &out
}

// leastViolating returns the computed designs of all populations by the sum of
// their violations, each scaled by the largest of its kind anywhere.
func (c *course) leastViolating(islands []Island, axes []axis) []Design {
	scales := make([]float64, c.problem.Limits)
	var all []Design
	for i := range islands {
		for k, v := range islands[i].Scales {
			scales[k] = max(scales[k], v)
		}
		all = append(all, islands[i].Population.designs(c.problem, axes)...)
	}
	all = slices.DeleteFunc(all, func(d Design) bool { return d.Failed })
	slices.SortStableFunc(all, func(a, b Design) int {
		return cmp.Or(cmp.Compare(excess(a.Violations, scales), excess(b.Violations, scales)), slices.Compare(a.X, b.X))
	})
	all = slices.CompactFunc(all, func(a, b Design) bool { return slices.Equal(a.X, b.X) })
	return all[:min(len(all), c.settings.Population)]
}

const (
	stallGain    = 3e-4  // of the hypervolume
	stallFlights = 4000  // over which it is measured
	stallNever   = 10000 // flights before which nothing is called a stall
)

// stalled tells from which barrier on the hypervolume gained next to nothing,
// if the search went on long enough after it to say so.
func stalled(gains []gain) string {
	end := gains[len(gains)-1]
	for _, g := range gains {
		if g.flights >= stallNever && end.flights-g.flights >= stallFlights && end.volume-g.volume < stallGain*end.volume {
			return fmt.Sprintf("the front gained less than %g %% of its hypervolume after %d of %d flights: fewer would do",
				100*stallGain, g.flights, end.flights)
		}
	}
	return ""
}
