package fleet

import (
	"fmt"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// A Program is what must be the same for the same bytes to come out.
type Program struct {
	Version string `json:"version"`
	Machine string `json:"machine"` // compiler and architecture
}

// fits refuses work that another program began: its bytes could differ.
func (p Program) fits(want Program) error {
	if p.Version != want.Version {
		return fmt.Errorf("worker: version %s, the jobs need %s: want the same program on all machines", p.Version, want.Version)
	}
	if p.Machine != want.Machine {
		return fmt.Errorf("worker: %s, the jobs need %s: numbers could differ in their last bits", p.Machine, want.Machine)
	}
	return nil
}

// A Job is an epoch of an island or a stretch of a sweep, with all that it
// depends on.
type Job struct {
	Program
	Run    string      `json:"run"`   // whose answer it is
	Name   string      `json:"name"`  // of the brief, for messages
	Source []byte      `json:"brief"` // its bytes
	Set    []string    `json:"set,omitempty"`
	Seed   uint64      `json:"seed"` // that of the brief does not count
	First  [][]float64 `json:"first,omitempty"`

	// One of the two.
	Leg     *Leg     `json:"leg,omitempty"`
	Stretch *Stretch `json:"stretch,omitempty"`
}

// A Leg is what one job does with an island: an epoch of it.
type Leg struct {
	Settings optimize.Settings `json:"settings"`
	Index    int               `json:"island"`
	Island   []byte            `json:"-"` // wire form, which is the body of the job
}

// A Stretch is a run of designs of a sweep: from ≤ number < to.
type Stretch struct {
	Mode    string   `json:"mode"`
	Size    int64    `json:"size"` // of drawn points or rows of indices; a grid knows its own
	From    int64    `json:"from"`
	To      int64    `json:"to"`
	Numbers []string `json:"numbers,omitempty"` // to keep of each flight, by key; of a front only the tally is kept
}

// String tells which job it is, in a message.
func (j *Job) String() string {
	if j.Stretch != nil {
		return fmt.Sprintf("designs %d to %d", j.Stretch.From, j.Stretch.To-1)
	}
	if j.Leg != nil {
		return fmt.Sprintf("island %d", j.Leg.Index)
	}
	return "empty job"
}

// MarshalBinary returns the job as it is sent and kept in files. It errs where
// the settings name no algorithm.
func (j *Job) MarshalBinary() ([]byte, error) {
	var body []byte
	if j.Leg != nil {
		body = j.Leg.Island
	}
	return seal(jobKind, j, body)
}

// UnmarshalBinary reads what MarshalBinary wrote. For any other bytes it
// returns optimize.ErrCorrupt, wrapped, or says which format it cannot read,
// and leaves the job as it was.
func (j *Job) UnmarshalBinary(data []byte) error {
	var read Job
	body, err := unseal(jobKind, data, &read)
	if err != nil {
		return err
	}
	if (read.Leg == nil) == (read.Stretch == nil) {
		return fmt.Errorf("job: %w: want a leg or a stretch", optimize.ErrCorrupt)
	}
	if read.Leg != nil {
		read.Leg.Island = body
	}
	*j = read
	return nil
}

// An answer is what came of a job.
type answer struct {
	Key  string `json:"job"`            // hash of the job
	Flaw string `json:"flaw,omitempty"` // why there is no body
	Body []byte `json:"-"`              // island, tally or rows
}

// mostFlaw is the length that a flaw is cut to when it is sent: the answer has
// to stay within the bytes that its job allows.
const mostFlaw = 2000

func (a *answer) marshal() ([]byte, error) {
	cut := *a
	cut.Flaw = cut.Flaw[:min(len(cut.Flaw), mostFlaw)]
	return seal(answerKind, cut, cut.Body)
}

func (a *answer) unmarshal(data []byte) error {
	var read answer
	body, err := unseal(answerKind, data, &read)
	if err != nil {
		return err
	}
	read.Body = body
	*a = read
	return nil
}

// pose returns the brief and the problem of a job.
func (j *Job) pose() (*brief.Brief, *optimize.Problem, error) {
	b, err := brief.Parse(j.Name, j.Source, j.Set...)
	if err != nil {
		return nil, nil, err
	}
	b = b.WithSeed(j.Seed)
	if j.Stretch != nil {
		b = b.OnceEach()
	}
	p, err := study.Problem(b)
	if err != nil {
		return nil, nil, err
	}
	p.First = append(p.First, j.First...)
	return b, p, nil
}
