package runs

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"

	"ullage/output/file"
	"ullage/output/table"
)

// checkpointNames are written in turn: whatever happens to one, the other
// holds the barrier before.
var checkpointNames = [2]string{"checkpoint-a", "checkpoint-b"}

// A Checkpoint is a search at a barrier, with what it needs to go on. Folder
// adds brief, seed, program and machine.
type Checkpoint struct {
	Set     []string    `json:"set,omitempty"` // as in Run
	From    *Origin     `json:"from,omitempty"`
	First   [][]float64 `json:"first,omitempty"` // designs of From that the first population was given, SI
	Barrier int         `json:"barrier"`         // barriers passed
	Seconds []float64   `json:"seconds"`         // wall time at each of them
	State   []byte      `json:"-"`               // wire form of the search
}

// checkpointHead is the first line of a checkpoint; the state and the SHA-256
// of all before follow.
type checkpointHead struct {
	Format  int    `json:"format"`
	Version string `json:"version"`
	Program string `json:"program_sha256"`
	Machine
	Brief string `json:"brief_sha256"`
	Seed  uint64 `json:"seed"`
	Checkpoint
}

// program returns the SHA-256 of this program's file, empty where it cannot be
// read. Two builds of one version may differ in their last bits.
var program = sync.OnceValue(func() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	file, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer file.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, file); err != nil {
		return ""
	}
	return hex.EncodeToString(sum.Sum(nil))
})

// Save writes a checkpoint over the older of the two. It errs where it cannot be
// written; then both are as they were.
func (f *Folder) Save(c Checkpoint) error {
	path := filepath.Join(f.Dir, checkpointNames[f.turn])
	head := checkpointHead{table.Format, f.Meta.Version, program(), thisMachine(), f.Meta.Brief, f.Meta.Seed, c}
	data, err := head.encode()
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err := file.Write(path, data); err != nil {
		return err
	}
	f.turn = 1 - f.turn
	return nil
}

func (h *checkpointHead) encode() ([]byte, error) {
	data, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	data = append(append(data, '\n'), h.State...)
	sum := sha256.Sum256(data)
	return append(data, sum[:]...), nil
}

// HasCheckpoint reports whether dir holds a search that began.
func HasCheckpoint(dir string) bool {
	for _, name := range checkpointNames {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			return true
		}
	}
	return false
}

// Resume takes the lock of a folder whose search was interrupted or killed and
// returns it with its last checkpoint. note, else empty, says why that is not
// the last one written. A folder in use, one whose brief changed, one that
// another program or machine began, and one without a whole checkpoint are
// refused.
func Resume(dir, version string) (f *Folder, c Checkpoint, note string, err error) {
	f = &Folder{Dir: dir, files: map[string]string{}}
	if err = f.take(); err != nil {
		return nil, c, "", err
	}
	head, note, err := f.latest()
	if err == nil {
		err = f.admit(head, version)
	}
	if err != nil {
		f.Close()
		return nil, c, "", err
	}
	return f, head.Checkpoint, note, nil
}

// latest reads the checkpoint of the later barrier and gives the turn to the
// other.
func (f *Folder) latest() (head checkpointHead, note string, err error) {
	var faults []error
	found := false
	for i, name := range checkpointNames {
		h, err := readCheckpoint(filepath.Join(f.Dir, name))
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			faults = append(faults, err)
		case !found || h.Barrier > head.Barrier:
			head, found, f.turn = h, true, 1-i
		}
	}
	switch {
	case !found && faults == nil:
		return head, "", fmt.Errorf("%s: no checkpoint, nothing to resume from", f.Dir)
	case !found:
		return head, "", errors.Join(faults...)
	case faults != nil:
		note = fmt.Sprintf("%v; going on from barrier %d in the other", faults[0], head.Barrier)
	}
	return head, note, nil
}

// mostCheckpoint is more than the largest search keeps, in bytes.
const mostCheckpoint = 256 << 20

func readCheckpoint(path string) (head checkpointHead, err error) {
	data, err := file.Read(path, mostCheckpoint)
	if err != nil {
		return head, err
	}
	if err := head.decode(data); err != nil {
		return head, fmt.Errorf("read %s: %w", path, err)
	}
	return head, nil
}

func (h *checkpointHead) decode(data []byte) error {
	end := len(data) - sha256.Size
	if end < 0 {
		return fmt.Errorf("damaged: %d bytes", len(data))
	}
	if sum := sha256.Sum256(data[:end]); !bytes.Equal(sum[:], data[end:]) {
		return errors.New("damaged: checksum mismatch")
	}
	line, state, _ := bytes.Cut(data[:end], []byte("\n"))
	if err := json.Unmarshal(line, h); err != nil {
		return err
	}
	h.State = state
	return nil
}

// admit compares a checkpoint with the folder, the program and the machine.
func (f *Folder) admit(head checkpointHead, version string) error {
	brief, err := file.Read(filepath.Join(f.Dir, briefName), mostRecord)
	if err != nil {
		return err
	}
	sum := Hash(brief)
	switch here := thisMachine(); {
	case sum != head.Brief:
		return fmt.Errorf("%s: the brief has changed: SHA-256 %.8s, the search began with %.8s", filepath.Join(f.Dir, briefName), sum, head.Brief)
	case head.Format != table.Format || head.Version != version:
		return fmt.Errorf("%s: begun by version %s, this is %s, want the same", f.Dir, head.Version, version)
	case head.Program != program():
		return fmt.Errorf("%s: begun by another build of version %s, want the same program: the result would be another", f.Dir, version)
	case head.Machine != here:
		return fmt.Errorf("%s: begun with %s, this is %s, want the same: the result would be another", f.Dir, head.Machine.Words(), here.Words())
	}
	f.Meta = table.Meta{Brief: head.Brief, Seed: head.Seed, Version: version}
	f.files[briefName] = sum
	if _, err := os.Lstat(filepath.Join(f.Dir, runName)); err == nil {
		f.ended = true
	}
	return nil
}

// tidy removes the temporary files that a killed process left in a folder.
func tidy(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	for _, e := range entries {
		if temporary(e.Name()) {
			err = errors.Join(err, file.System.Remove(filepath.Join(dir, e.Name())))
		}
	}
	if err != nil {
		return fmt.Errorf("tidy %s: %w", dir, file.Cause(err))
	}
	return nil
}
