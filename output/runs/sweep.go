package runs

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"ullage/output/file"
	"ullage/output/table"
)

const sweepName = "sweep.json"

// A Sweep is sweep.json: what is swept, and how far. It is written when the
// sweep begins and after every part. Folder fills in what decides the bytes of
// a flight: format, version, machine, brief and seed.
type Sweep struct {
	Format  int    `json:"format"`
	Version string `json:"version"`
	Machine
	Brief        string   `json:"brief_sha256"`
	Seed         uint64   `json:"seed"`
	Set          []string `json:"set,omitempty"`           // as in Run
	Mode         string   `json:"mode"`                    // grid, front, draws, indices
	Size         int64    `json:"size"`                    // flights in all
	FeasibleOnly bool     `json:"feasible_only,omitempty"` // other flights are not kept
	Part         int64    `json:"part"`                    // flights in a part, but for the last
	Parts        []Part   `json:"parts,omitempty"`

	Front json.RawMessage `json:"front,omitempty"` // how far a sweep without parts has come
	Seal
}

// A Part is a file of flights that is complete.
type Part struct {
	Number   int     `json:"number"` // from 1
	SHA256   string  `json:"sha256"`
	Flights  int64   `json:"flights"`
	Feasible int64   `json:"feasible"`
	Failed   int64   `json:"failed"`
	Missed   []int64 `json:"missed"` // of each limit, the flights that miss it
}

// WriteSweep writes sweep.json, and errs where it cannot be written.
func (f *Folder) WriteSweep(s *Sweep) error {
	f.sign(s)
	slices.SortFunc(s.Parts, func(a, b Part) int { return a.Number - b.Number })
	data, err := s.sealed(s, " ")
	if err != nil {
		return fmt.Errorf("write %s: %w", filepath.Join(f.Dir, sweepName), err)
	}
	return f.Write(sweepName, data)
}

func (f *Folder) sign(s *Sweep) {
	s.Format, s.Version, s.Machine = table.Format, f.Meta.Version, thisMachine()
	s.Brief, s.Seed = f.Meta.Brief, f.Meta.Seed
}

// HasSweep reports whether dir holds a sweep that began.
func HasSweep(dir string) bool {
	_, err := os.Lstat(filepath.Join(dir, sweepName))
	return err == nil
}

// ResumeSweep takes the lock of the folder of a sweep that was interrupted or
// killed, and reads into s how far it came; the Set, Mode, Size and Part of s
// say what is wanted. A folder in use and a sweep of anything else, or by another
// program or machine, are refused. Parts that are no longer as they were written
// are left out of s.
func ResumeSweep(dir string, brief []byte, seed uint64, version string, s *Sweep) (*Folder, error) {
	f := &Folder{
		Dir: dir, Meta: table.Meta{Brief: Hash(brief), Seed: seed, Version: version},
		files: map[string]string{briefName: Hash(brief)},
	}
	if err := f.take(); err != nil {
		return nil, err
	}
	if err := f.recall(s); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// recall compares what was begun with what is wanted and takes over what there
// is.
func (f *Folder) recall(s *Sweep) error {
	path := filepath.Join(f.Dir, sweepName)
	data, err := file.Read(path, mostRecord)
	if err != nil {
		return err
	}
	var found Sweep
	err = found.unsealed(data, &found)
	if err == nil && found.Sum == "" {
		err = errors.New("no sha256, want a file of this version of the program")
	}
	if err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	f.files[sweepName] = Hash(data) // where no part is missing it is not written again
	f.sign(s)
	if err := found.same(s, f.Dir); err != nil {
		return err
	}
	if _, err := os.Lstat(filepath.Join(f.Dir, runName)); err == nil {
		f.ended = true
	}
	if err := found.checkParts(); err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	s.Front, s.Parts = found.Front, nil
	for _, p := range found.Parts {
		kept, err := f.keep(PartName(p.Number), p.SHA256)
		if err != nil {
			return err
		}
		if kept {
			s.Parts = append(s.Parts, p)
		}
	}
	return nil
}

// same compares what decides the bytes of two sweeps.
func (s *Sweep) same(now *Sweep, dir string) error {
	short := func(brief string) string { return brief[:min(8, len(brief))] }
	for _, c := range []struct{ name, was, now string }{
		{"brief", short(s.Brief), short(now.Brief)},
		{"--set", fmt.Sprint(s.Set), fmt.Sprint(now.Set)},
		{"a sweep of", s.Mode, now.Mode},
		{"--feasible-only", fmt.Sprint(s.FeasibleOnly), fmt.Sprint(now.FeasibleOnly)},
		{"flights", fmt.Sprint(s.Size), fmt.Sprint(now.Size)},
		{"seed", fmt.Sprint(s.Seed), fmt.Sprint(now.Seed)},
		{"--part", fmt.Sprint(s.Part), fmt.Sprint(now.Part)},
		{"format", fmt.Sprint(s.Format), fmt.Sprint(now.Format)},
		{"version", s.Version, now.Version},
		{"machine", s.Words(), now.Words()},
	} {
		if c.was != c.now {
			return fmt.Errorf("%s: begun with %s %s, now %s, want the same", dir, c.name, c.was, c.now)
		}
	}
	return nil
}

// checkParts tells what the parts of a sweep cannot be: a file that says otherwise
// would have flights that nobody flew, or have one file read for every line of it.
func (s *Sweep) checkParts() error {
	last := 0
	for _, p := range s.Parts {
		flights := min(s.Part, s.Size-int64(p.Number-1)*s.Part)
		counts := append([]int64{p.Feasible, p.Failed, p.Feasible + p.Failed}, p.Missed...)
		if p.Number <= last || p.Number > MostParts || p.Flights != flights || flights < 1 || slices.Min(counts) < 0 || slices.Max(counts) > flights || len(p.Missed) != len(s.Parts[0].Missed) {
			return fmt.Errorf("damaged: part %d of %d flights, want parts in rising order and their counts within %d", p.Number, p.Flights, flights)
		}
		last = p.Number
	}
	return nil
}

// keep takes a file into run.json if it is there and has that hash.
func (f *Folder) keep(name, want string) (bool, error) {
	path := filepath.Join(f.Dir, name)
	sum, err := hashOf(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if sum != want {
		return false, nil
	}
	f.files[name] = want
	return true, nil
}

// MostParts is how many parts a sweep has at most: sweep.json lists them, and is
// written anew after each.
const MostParts = 10_000

const flightsFolder = "flights"

// PartName returns the name in a run folder of a part of a sweep, from 1:
// flights/part-000001.parquet.
func PartName(number int) string {
	return fmt.Sprintf("%s/part-%06d.parquet", flightsFolder, number)
}
