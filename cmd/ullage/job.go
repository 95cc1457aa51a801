package main

import (
	"os"
	"time"

	"github.com/urfave/cli/v2"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/runs"
)

// A job is a search that is ready to begin or to go on, or one that is over.
type job struct {
	brief      *brief.Brief
	problem    *optimize.Problem
	folder     *runs.Folder
	state      optimize.State  // at the last barrier
	checkpoint runs.Checkpoint // of that barrier, but for its State

	start  time.Time // of this session
	before float64   // s, what earlier sessions took
	saved  int       // barrier of the last checkpoint
	rest   time.Time // no checkpoint until then

	finished *runs.Run // instead of all but brief and folder: nothing is left to do
	dir      string    // of the finished run
}

// job returns the search that the arguments ask for: of a brief, from the
// front of a run, or one that goes on.
func (s streams) job(c *cli.Context) (*job, error) {
	name, err := oneArgument(c, "a brief or a run")
	if err != nil {
		return nil, err
	}
	info, err := os.Stat(name)
	isRun := err == nil && info.IsDir()
	switch {
	case c.Bool("resume"):
		return s.resume(c, name, isRun)
	case isRun:
		return s.again(c, name)
	}
	b, err := s.readBrief(c)
	if err != nil {
		return nil, err
	}
	return begin(c, b, runFolder(c, name), nil, nil)
}

// begin makes the folder of a new run; first are designs of the run of origin.
func begin(c *cli.Context, b *brief.Brief, dir string, origin *runs.Origin, first [][]float64) (*job, error) {
	if c.IsSet("seed") {
		b = b.WithSeed(c.Uint64("seed"))
	}
	j := &job{brief: b, checkpoint: runs.Checkpoint{Set: b.Set, From: origin, First: first}}
	if err := j.pose(); err != nil {
		return nil, err
	}
	folder, err := runs.Create(dir, b.Source, b.Search.Seed, version())
	if err != nil {
		return nil, err
	}
	j.folder, j.saved = folder, -1
	if err := j.save(); err != nil {
		folder.Close()
		return nil, err
	}
	return j, nil
}

// pose makes the problem and starts the clock.
func (j *job) pose() (err error) {
	if j.problem, err = study.Problem(j.brief); err != nil {
		return coded{err, exitUsage}
	}
	j.problem.First = append(j.problem.First, j.checkpoint.First...)
	j.start = now()
	return nil
}

// barrier notes the state and saves it, if saving does not take too much of
// the time.
func (j *job) barrier(st optimize.State) error {
	j.state = st
	j.checkpoint.Barrier = st.Barrier
	seconds := j.seconds()
	if n := len(j.checkpoint.Seconds); n > 0 {
		seconds = max(seconds, j.checkpoint.Seconds[n-1])
	}
	j.checkpoint.Seconds = append(j.checkpoint.Seconds, seconds)
	start := now()
	if start.Before(j.rest) {
		return nil
	}
	err := j.save()
	j.rest = now().Add((savingShare - 1) * now().Sub(start))
	return err
}

// savingShare keeps checkpoints to a tenth of the time where a barrier comes
// sooner than a disk can take one.
const savingShare = 10

// save writes the last barrier, unless it is written already.
func (j *job) save() error {
	if j.saved == j.checkpoint.Barrier {
		return nil
	}
	state, err := j.state.MarshalBinary()
	if err == nil {
		c := j.checkpoint
		c.State = state
		err = j.folder.Save(c)
	}
	if err != nil {
		return coded{err, exitFailed}
	}
	j.saved = j.checkpoint.Barrier
	return nil
}

// seconds is the wall time that the search has taken, over all sessions.
func (j *job) seconds() float64 { return j.before + since(j.start) }

func (j *job) clock(flights int) runs.Clock {
	seconds := j.seconds()
	return runs.Clock{Seconds: seconds, FlightsPerSecond: float64(flights) / seconds}
}

// times returns the wall time of each record of the search.
func (j *job) times(records []optimize.Record) []float64 {
	times := make([]float64, len(records))
	for i, r := range records {
		// An epoch that was interrupted has passed no barrier.
		times[i] = j.seconds()
		if r.Barrier <= len(j.checkpoint.Seconds) {
			times[i] = j.checkpoint.Seconds[r.Barrier-1]
		}
	}
	return times
}
