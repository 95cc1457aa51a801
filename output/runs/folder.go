package runs

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"

	"ullage/output/file"
	"ullage/output/table"
)

const (
	briefName = "brief.toml"
	runName   = "run.json"
	lockName  = "lock"
)

// A Folder is a run folder that this process alone may write to.
type Folder struct {
	Dir  string
	Meta table.Meta // of every table in it

	lock, folder *os.File // held; folder is nil where it cannot be
	files        map[string]string
	ended        bool // holds a run.json, of the files that it holds now
	turn         int  // of the checkpoint that is written next
}

// Hash returns the hash by which files name the brief they came from and run.json
// names files: SHA-256 of the exact bytes, in hex.
func Hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Create makes the folder dir, takes its lock and writes the brief into it; Close
// releases it. It errs where the folder holds a run or anything else, where
// another process uses it, and where it cannot be made or written to. One that
// holds this brief and nothing else is what a process left that was killed before
// it began, and is taken.
func Create(dir string, brief []byte, seed uint64, version string) (*Folder, error) {
	if err := file.System.MakeFolders(dir); err != nil {
		return nil, fmt.Errorf("create %s: %w", dir, file.Cause(err))
	}
	f := &Folder{
		Dir: dir, Meta: table.Meta{Brief: Hash(brief), Seed: seed, Version: version},
		files: map[string]string{},
	}
	// What the folder holds is asked before the lock, so that a folder of
	// something else gets no lock file, and again under it.
	err := vacant(dir, brief)
	if err == nil {
		err = f.take()
	}
	if err == nil {
		err = vacant(dir, brief)
	}
	if err == nil {
		err = f.Write(briefName, brief)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// Lock takes the lock of a folder that holds a run, to write into it what run.json
// has no hash of; Close releases it. It errs where another process uses the
// folder, and where it cannot be written to.
func Lock(dir string) (*Folder, error) {
	f := &Folder{Dir: dir}
	if err := f.take(); err != nil {
		return nil, err
	}
	return f, nil
}

// take locks the folder and its lock file, which stays when the run ends:
// removing it could take the lock from a process that has just opened it. It
// clears away what a killed process was writing.
func (f *Folder) take() error {
	path := filepath.Join(f.Dir, lockName)
	held, err := openLock(path)
	if err != nil {
		return fmt.Errorf("create %s: %w", path, file.Cause(err))
	}
	taken, err := lock(held)
	if taken {
		taken, err = f.takeFolder()
	}
	if !taken {
		held.Close()
		if err != nil {
			return fmt.Errorf("lock %s: %w", path, err)
		}
		return fmt.Errorf("%s: in use by another process", f.Dir)
	}
	f.lock = held
	if err := errors.Join(tidy(f.Dir), tidy(filepath.Join(f.Dir, flightsFolder))); err != nil {
		f.Close()
		return err
	}
	return nil
}

// takeFolder locks the folder itself, where the file system can.
func (f *Folder) takeFolder() (taken bool, err error) {
	dir, err := openFolder(f.Dir)
	if dir == nil || err != nil {
		return err == nil, err
	}
	if taken, err = lock(dir); err == nil && !taken {
		dir.Close()
		return false, nil
	}
	f.folder = dir // some network file systems lock no folder: the file must do
	return true, nil
}

// vacant reports what keeps a new run of a brief out of dir; a lock without a
// run, temporary files and the brief alone are what a killed process left.
func vacant(dir string, brief []byte) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("read %s: %w", dir, file.Cause(err))
	}
	held := map[string]bool{}
	for _, e := range entries {
		name := e.Name()
		if name != lockName && !temporary(name) {
			held[name] = true
		}
	}
	if len(held) == 1 && held[briefName] {
		if left, err := file.Read(filepath.Join(dir, briefName), mostRecord); err == nil && bytes.Equal(left, brief) {
			return nil
		}
	}
	switch {
	case held[runName]:
		return fmt.Errorf("%s: holds a run, want a new folder", dir)
	case held[briefName]:
		return fmt.Errorf("%s: holds an unfinished run, want a new folder or to resume it", dir)
	case len(held) > 0:
		return fmt.Errorf("%s: holds other files, want a new folder", dir)
	}
	return nil
}

// temporaryName is what file.Write names a file before it renames it.
var temporaryName = regexp.MustCompile(`^\..+\.[0-9a-f]{8}\.tmp$`)

// temporary reports whether a file of that name is one that was not renamed
// in time.
func temporary(name string) bool {
	return temporaryName.MatchString(name)
}

// WriteTable writes a table into the folder, and errs, as table.Write does.
func (f *Folder) WriteTable(name string, t table.Table) error {
	data, err := table.Encode(name, t, f.Meta)
	if err != nil {
		return fmt.Errorf("write %s: %w", filepath.Join(f.Dir, name), err)
	}
	return f.Write(name, data)
}

// Write writes a file into the folder, and errs, as file.Write does, or into a
// folder of it, which is made where there is none. The first that is written to a
// run that was resumed takes its run.json away, which vouches for the old files.
func (f *Folder) Write(name string, data []byte) error {
	if f.ended {
		path := filepath.Join(f.Dir, runName)
		if err := errors.Join(file.System.Remove(path), file.System.SyncFolder(f.Dir)); err != nil {
			return fmt.Errorf("remove %s: %w", path, file.Cause(err))
		}
		f.ended = false
	}
	path := filepath.Join(f.Dir, name)
	if dir := filepath.Dir(path); dir != filepath.Clean(f.Dir) {
		if err := file.System.MakeFolders(dir); err != nil {
			return fmt.Errorf("create %s: %w", dir, file.Cause(err))
		}
	}
	if err := file.Write(path, data); err != nil {
		return err
	}
	f.files[name] = Hash(data)
	return nil
}

// Sum returns the SHA-256 in hex of a file that was written into the folder, as
// run.json will have it.
func (f *Folder) Sum(name string) string { return f.files[name] }

// Finish writes run.json. It sets the format, version, machine, brief, seed and
// files of r, which it returns; the rest is the caller's. It errs where run.json
// cannot be written.
func (f *Folder) Finish(r Run) (Run, error) {
	r.Format, r.Version, r.Brief, r.Seed = table.Format, f.Meta.Version, f.Meta.Brief, f.Meta.Seed
	r.Files = maps.Clone(f.files)
	r.Machine = thisMachine()
	data, err := r.sealed(&r, "  ")
	if err != nil {
		return r, fmt.Errorf("write %s: %w", filepath.Join(f.Dir, runName), err)
	}
	return r, file.Write(filepath.Join(f.Dir, runName), data)
}

// Close releases the folder. It may be called again. It errs where the lock file
// cannot be closed; the lock is released all the same.
func (f *Folder) Close() error {
	if f.lock == nil {
		return nil
	}
	held := f.lock
	f.lock = nil
	if f.folder != nil {
		f.folder.Close()
		f.folder = nil
	}
	return held.Close()
}
