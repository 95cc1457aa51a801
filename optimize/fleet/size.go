package fleet

import "ullage/optimize/sweep"

// A size is how much work a job is, and what can come of it at most.
type size struct {
	flights int64
	bytes   int64 // of the body of the answer
}

// generations is the number of populations that an epoch flies at most: the
// first one and those bred.
const generations = 1 + 25

const (
	memberBytes = 120 // of a member of a tally in JSON, and for each number in it
	numberBytes = 26
	kept        = 20 // members that a tally holds besides the front
)

// size returns the size of a job, or the error that its brief has.
func (f *flier) size(j *Job) (size, error) {
	if err := f.learn(j); err != nil {
		return size{}, err
	}
	limits, goals, variables := int64(f.problem.Limits), int64(f.problem.Goals), int64(len(f.problem.Variables))
	if j.Leg != nil {
		n := j.Leg.flights()
		row := 8 * (variables + goals + limits + 2)
		// Each flight may add a row to the archive, one to what is kept, a block and
		// a print; the population is written anew.
		kept := min(n, int64(f.problem.Keep))
		most := int64(len(j.Leg.Island)) + n*(row+16) + kept*row + 4*j.Leg.population()*row + 1<<16
		return size{flights: n * int64(max(f.problem.Cost, 1)), bytes: most}, nil
	}
	n := j.Stretch.To - j.Stretch.From
	if j.Stretch.Mode == sweep.FrontMode {
		return size{flights: n, bytes: (n+kept+1)*(memberBytes+numberBytes*(goals+1)) + numberBytes*limits + 1<<10}, nil
	}
	return size{flights: n, bytes: n * (2 + limits + 8*int64(len(j.Stretch.Numbers)))}, nil
}

// population returns the designs on the island, or where the settings leave that
// to the search, more than it takes.
func (l *Leg) population() int64 {
	if l.Settings.Population == 0 {
		return 100
	}
	return int64(l.Settings.Population)
}

// flights returns the evaluations of a leg at most.
func (l *Leg) flights() int64 { return generations * l.population() }
