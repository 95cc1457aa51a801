package runs

import (
	"fmt"
	"path/filepath"
	"runtime"
	"runtime/debug"

	"ullage/output/file"
	"ullage/output/table"
)

// A Run is run.json: what was searched, how far, and the hash of every file.
// It is written last, so that its presence proves a run that ended. Folder
// fills the fields that it knows; Clock is the only part that differs between
// two runs of one brief and seed by one binary on one architecture.
type Run struct {
	Format  int    `json:"format"`
	Version string `json:"version"`
	Machine
	Brief        string            `json:"brief_sha256"`
	Seed         uint64            `json:"seed"`
	Set          []string          `json:"set,omitempty"` // values that replaced the brief's
	Class        *Class            `json:"class,omitempty"`
	From         *Origin           `json:"from,omitempty"`
	Fit          string            `json:"fit,omitempty"`           // logs that the brief was fitted to
	Sweep        string            `json:"sweep,omitempty"`         // grid, front, draws or indices; empty: a search
	FeasibleOnly bool              `json:"feasible_only,omitempty"` // of a sweep: other flights are not kept
	State        State             `json:"state"`
	Stop         string            `json:"stop"`             // why it ended, in words
	Advice       string            `json:"advice,omitempty"` // what to change before searching again
	Flights      int               `json:"flights"`
	Feasible     int               `json:"feasible"`    // flights that met every limit
	Failed       int               `json:"failed"`      // flights that could not be computed
	Front        int               `json:"front"`       // designs in the front file
	Hypervolume  float64           `json:"hypervolume"` // in the product of the goals' SI units
	Proof        *Proof            `json:"proof,omitempty"`
	Answers      *Answers          `json:"answers,omitempty"` // of a search
	Clock        Clock             `json:"clock"`
	Files        map[string]string `json:"files"` // SHA-256 in hex, by name
	Seal
}

// A Machine is what decides the last bits of a result besides the program: the
// compiler and the architecture that it compiled for. What one processor of
// that has and another has not changes nothing: no number hangs on it.
type Machine struct {
	Go      string `json:"go"`
	CPU     string `json:"cpu"` // architecture
	GOAMD64 string `json:"goamd64,omitempty"`
}

// A Class is the class whose limits the brief keeps.
type Class struct {
	Title string `json:"title,omitempty"`
	File  string `json:"file"`
	Hash  string `json:"sha256"` // of the file, in hex
}

// An Origin names the run whose front a search began with.
type Origin struct {
	Run   string `json:"run"`          // its folder, as it was given
	Front string `json:"front_sha256"` // of its front.parquet, in hex
}

// Proof is what a robust search did at its end with the designs it found.
type Proof struct {
	Draws      int     `json:"draws"`      // flights that choose a design, at most
	Confidence float64 `json:"confidence"` // chance with which each limit is to hold
	Screened   int     `json:"screened"`   // designs, to choose those that are worth a proof; 0 in a run of an older build
	Each       int     `json:"each"`       // flights that prove a design, other ones; 0 as above: Draws did
	Checked    int     `json:"checked"`    // designs that were flown for the proof
	Dropped    int     `json:"dropped"`    // of them: that chance could not be shown
	Flights    int     `json:"flights"`    // of all this
}

// Clock is what a run took.
type Clock struct {
	Seconds          float64 `json:"seconds"`
	FlightsPerSecond float64 `json:"flights_per_second"`
}

// A State is how a run ended.
type State string

// The states of a run that ended. One that is still searched, or that was
// killed, has no run.json.
const (
	Finished    State = "finished"
	Interrupted State = "interrupted"
)

// mostRecord is the size of run.json and sweep.json, in bytes, that is looked at:
// that of MostParts parts.
const mostRecord = 8 << 20

// Read returns the run.json of the folder dir. It errs where there is none, where
// it is damaged or was changed by hand, and where its format is newer than
// table.Format.
func Read(dir string) (Run, error) {
	path := filepath.Join(dir, runName)
	data, err := file.Read(path, mostRecord)
	if err != nil {
		return Run{}, err
	}
	var r Run
	err = r.unsealed(data, &r)
	if r.Format > table.Format { // one of a newer build may have any keys
		err = nil
	}
	if err != nil {
		return Run{}, fmt.Errorf("read %s: %w", path, err)
	}
	if r.Format < 1 || r.Format > table.Format {
		return Run{}, fmt.Errorf("read %s: format %d, this build reads up to %d", path, r.Format, table.Format)
	}
	return r, nil
}

// Build names this build of the program and what it was compiled with and for:
// where both are the same, so are the bytes of a run.
func Build() (hash, machine string) { return program(), thisMachine().Words() }

func thisMachine() Machine {
	m := Machine{Go: runtime.Version(), CPU: runtime.GOARCH}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "GOAMD64" {
				m.GOAMD64 = s.Value
			}
		}
	}
	return m
}

// Words describes the machine in a message.
func (m Machine) Words() string {
	text := m.Go + " on " + m.CPU
	if m.GOAMD64 != "" {
		text += " built for " + m.GOAMD64
	}
	return text
}
