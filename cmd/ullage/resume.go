package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/text"
)

// resume returns the search of a run's folder where it stood last. One that
// has not begun begins, one that is finished stays as it is.
func (s streams) resume(c *cli.Context, name string, isRun bool) (*job, error) {
	dir := name
	switch {
	case isRun && c.IsSet("output"):
		return nil, usage("--output: %s is resumed where it is, want no other folder", name)
	case isRun:
		name = filepath.Join(dir, "brief.toml")
	default:
		dir = runFolder(c, name)
	}
	r, err := runs.Read(dir)
	if err == nil && r.State == runs.Finished {
		b, err := s.parseInClass(c, name, r.Set)
		if err != nil {
			return nil, err
		}
		return &job{brief: b, finished: &r, dir: dir}, asBegun(c, b, dir, r.Brief, r.Seed)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if !runs.HasCheckpoint(dir) {
		if isRun {
			return nil, fmt.Errorf("%s: holds no search that began, want search BRIEF -o %s", dir, dir)
		}
		b, err := s.readBrief(c)
		if err != nil {
			return nil, err
		}
		return begin(c, b, dir, nil, nil)
	}
	folder, checkpoint, note, err := runs.Resume(dir, version())
	if err != nil {
		return nil, err
	}
	if note != "" {
		s.say(note)
	}
	j := &job{folder: folder, checkpoint: checkpoint, saved: checkpoint.Barrier}
	if err = s.goOn(c, j, name); err != nil {
		folder.Close()
		return nil, err
	}
	return j, nil
}

// goOn reads brief and state of a job that has its folder and checkpoint.
func (s streams) goOn(c *cli.Context, j *job, name string) (err error) {
	if j.brief, err = s.parseInClass(c, name, j.checkpoint.Set); err != nil {
		return err
	}
	meta := j.folder.Meta
	if err := asBegun(c, j.brief, j.folder.Dir, meta.Brief, meta.Seed); err != nil {
		return err
	}
	j.brief = j.brief.WithSeed(meta.Seed)
	if err := j.state.UnmarshalBinary(j.checkpoint.State); err != nil {
		return fmt.Errorf("%s: %w", j.folder.Dir, err)
	}
	j.checkpoint.State = nil
	if n := len(j.checkpoint.Seconds); n > 0 {
		j.before = j.checkpoint.Seconds[n-1]
	}
	return j.pose()
}

// asBegun tells what differs from the search that a folder holds: its brief,
// or what the flags give although the run has another.
func asBegun(c *cli.Context, b *brief.Brief, dir, hash string, seed uint64) error {
	if err := sameBrief(b, dir, hash); err != nil {
		return err
	}
	if n := c.Uint64("seed"); c.IsSet("seed") && n != seed {
		return fmt.Errorf("%s: --seed %d, the search began with %d", dir, n, seed)
	}
	if set := c.StringSlice(setFlag.Name); len(set) > 0 && !slices.Equal(set, b.Set) {
		return fmt.Errorf("%s: --set %s, the search began with %s", dir, strings.Join(set, ", "), text.Plain(began(b.Set), text.MessageLength))
	}
	return nil
}

func began(set []string) string {
	if len(set) == 0 {
		return "none"
	}
	return strings.Join(set, ", ")
}

func sameBrief(b *brief.Brief, dir, hash string) error {
	if sum := runs.Hash(b.Source); sum != hash {
		return fmt.Errorf("%s: the brief has changed: SHA-256 %.8s, that of %s has %.8s", b.Name, sum, dir, hash)
	}
	return nil
}

// printFinished shows a run that is over, from its files.
func (s streams) printFinished(c *cli.Context, j *job, asJSON bool) error {
	b := j.brief
	front, _, err := j.finished.ReadTable(j.dir, "front.parquet")
	if err != nil {
		return err
	}
	rows, err := output.Rows(b, front)
	if err != nil {
		return fmt.Errorf("read %s: %w", filepath.Join(j.dir, "front.parquet"), err)
	}
	// It may have been killed between run.json and the report.
	if _, err := os.Lstat(filepath.Join(j.dir, "report.html")); errors.Is(err, fs.ErrNotExist) {
		if _, err := s.draw(c.Context, b, *j.finished, j.dir); err != nil {
			return err
		}
	}
	if err := s.printFound(c.Context, b, rows, *j.finished, j.dir, asJSON); err != nil {
		return err
	}
	s.say(j.dir + ": finished already, nothing is left to resume")
	s.caution(b)
	if !slices.ContainsFunc(rows, func(r study.Row) bool { return r.Kept(b) }) {
		return infeasible(b, rows)
	}
	return nil
}
