package optimize

import (
	"cmp"
	"fmt"
	"slices"
)

// A Record is what one island had reached at one barrier.
type Record struct {
	Barrier     int       // from 1
	Island      int       // from 0
	Flights     int       // of this island, from the start
	Feasible    int       // of them
	Failed      int       // of them
	Hypervolume float64   // of the archive below the search's reference, from 4 goals of the population; 0: no reference yet
	Best        []float64 // of each goal, among the feasible designs; nil: there is none
}

// An Outcome is what a search found.
type Outcome struct {
	Flights  int // in all
	Feasible int // of them
	Failed   int // of them

	// Archive holds all feasible non-dominated designs found, at most 5000
	// from 3 goals, by rising first goal. Where no design is feasible (Met is
	// false) it holds the least violating, at most a population of them, the
	// least first.
	Archive []Design
	Met     bool
	Kept    []Design // feasible designs that the islands kept, as Problem.Keep says, by rising goals

	// Hypervolume is that of the archive below Reference, from 4 goals that
	// of 100 designs chosen from it, 0 where it was interrupted. Reference lies at the worst feasible
	// design known at the first barrier that knew any; nil: none ever was.
	Hypervolume float64
	Reference   []float64

	Records []Record
	Stop    string // flights, interrupted, exhausted (every design of the grid was flown)
	Advice  string // what to change before searching again; empty: nothing
}

// A course is a search on its way.
type course struct {
	problem  *Problem
	settings Settings
	State
}

// record notes what each island has reached.
func (c *course) record() {
	if c.Reference == nil {
		for i := range c.Islands {
			if w := c.Islands[i].Worst; w != nil && c.Reference == nil {
				c.Reference = slices.Clone(w)
			}
			for k, v := range c.Islands[i].Worst {
				c.Reference[k] = max(c.Reference[k], v)
			}
		}
	}
	cost := c.problem.cost()
	for i := range c.Islands {
		isl := &c.Islands[i]
		r := Record{Barrier: c.Barrier, Island: i, Flights: cost * isl.Flights, Feasible: cost * isl.Feasible, Failed: cost * isl.Failed}
		rows := &isl.Archive
		m := c.problem.Goals
		if rows.Len() > 0 {
			r.Best = slices.Clone(rows.Goals[:m])
		}
		for k := range rows.Goals {
			r.Best[k%m] = min(r.Best[k%m], rows.Goals[k])
		}
		if c.Reference != nil {
			r.Hypervolume = Hypervolume(c.points(isl), c.Reference)
		}
		c.Records = append(c.Records, r)
	}
}

// A gain is the hypervolume at a barrier, the largest of the islands.
type gain struct {
	flights int
	volume  float64
}

// gains returns one gain a barrier.
func (c *course) gains() []gain {
	out := make([]gain, c.Barrier)
	for i := range c.Records {
		r := &c.Records[i]
		g := &out[r.Barrier-1]
		g.flights += r.Flights
		g.volume = max(g.volume, r.Hypervolume)
	}
	return out
}

// points returns the goals of the archive, from 4 goals those of the
// population, whose hypervolume takes less time.
func (c *course) points(isl *Island) [][]float64 {
	m := c.problem.Goals
	var out [][]float64
	if m <= 3 {
		out = make([][]float64, 0, isl.Archive.Len())
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

func (c *course) outcome(stop string) Outcome {
	o := Outcome{Records: c.Records, Stop: stop, Reference: c.Reference}
	axes := make([]axis, len(c.problem.Variables))
	for i, v := range c.problem.Variables {
		axes[i] = newAxis(v)
	}
	for i := range c.Islands {
		o.Flights += c.problem.cost() * c.Islands[i].Flights
		o.Feasible += c.problem.cost() * c.Islands[i].Feasible
		o.Failed += c.problem.cost() * c.Islands[i].Failed
	}
	o.Met = o.Feasible > 0
	if !o.Met {
		o.Archive = c.leastViolating(axes)
		o.Advice = "no design meets the limits: widen a range"
		return o
	}
	o.Archive, o.Kept = c.merge().designs(c.problem, axes), c.kept(axes)
	slices.SortFunc(o.Archive, func(a, b Design) int {
		return cmp.Or(slices.Compare(a.Goals, b.Goals), slices.Compare(a.X, b.X))
	})
	o.Advice = stalled(c.gains())
	chosen := o.Archive
	if c.problem.Goals > 3 {
		if stop == interrupted {
			return o // a hypervolume may take seconds
		}
		chosen = Choose(chosen, 100)
	}
	points := make([][]float64, len(chosen))
	for i := range chosen {
		points[i] = chosen[i].Goals
	}
	if c.Reference != nil {
		o.Hypervolume = Hypervolume(points, c.Reference)
	}
	return o
}

// merge returns the non-dominated designs of all archives.
func (c *course) merge() *Rows {
	if len(c.Islands) == 1 {
		return &c.Islands[0].Archive
	}
	m, n := c.problem.Goals, len(c.problem.Variables)
	var goals []float64
	for i := range c.Islands {
		goals = append(goals, c.Islands[i].Archive.Goals...)
	}
	tolerance := make([]float64, m)
	for k := range m {
		low, high := extent(goals, m, k)
		tolerance[k] = max(0, sameGoals*(high-low)) // 0 of no designs
	}
	all := newArchive(m, mostArchived, Rows{}, nil)
	for i := range c.Islands {
		rows := &c.Islands[i].Archive
		for j := range rows.Len() {
			all.offer(rows.Genes[j*n:j*n+n], rows.Goals[j*m:j*m+m], rows.Slack[j], tolerance)
		}
	}
	out, _ := all.pack()
	return &out
}

// leastViolating returns the computed designs of all populations by the sum of
// their violations, each scaled by the largest of its kind anywhere.
func (c *course) leastViolating(axes []axis) []Design {
	scales := make([]float64, c.problem.Limits)
	var all []Design
	for i := range c.Islands {
		for k, v := range c.Islands[i].Scales {
			scales[k] = max(scales[k], v)
		}
		all = append(all, c.Islands[i].Population.designs(c.problem, axes)...)
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
