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
	Machine string `json:"machine"` // compiler and class of CPU
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
	Epoch   *Epoch   `json:"epoch,omitempty"`
	Stretch *Stretch `json:"stretch,omitempty"`
}

// An Epoch is what to do with the island in the body of its job.
type Epoch struct {
	Settings optimize.Settings `json:"settings"`
	Index    int               `json:"island"`
	Island   []byte            `json:"-"` // wire form
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
	if j.Epoch != nil {
		return fmt.Sprintf("island %d", j.Epoch.Index)
	}
	return "empty job"
}

// MarshalBinary returns the job as it is sent and kept in files.
func (j *Job) MarshalBinary() ([]byte, error) {
	var body []byte
	if j.Epoch != nil {
		body = j.Epoch.Island
	}
	return seal(jobKind, j, body)
}

// UnmarshalBinary reads what MarshalBinary wrote, or returns ErrDamaged,
// wrapped.
func (j *Job) UnmarshalBinary(data []byte) error {
	var read Job
	body, err := unseal(jobKind, data, &read)
	if err != nil {
		return err
	}
	if (read.Epoch == nil) == (read.Stretch == nil) {
		return fmt.Errorf("job: %w: want an epoch or a stretch", ErrDamaged)
	}
	if read.Epoch != nil {
		read.Epoch.Island = body
	}
	*j = read
	return nil
}

// An Answer is what came of a job.
type Answer struct {
	Key  string `json:"job"`            // hash of the job
	By   string `json:"by"`             // name of the worker
	Flaw string `json:"flaw,omitempty"` // why there is no body
	Body []byte `json:"-"`              // island, tally or rows
}

// MarshalBinary returns the answer as it is sent and kept in files.
func (a *Answer) MarshalBinary() ([]byte, error) { return seal(answerKind, a, a.Body) }

// UnmarshalBinary reads what MarshalBinary wrote, or returns ErrDamaged,
// wrapped.
func (a *Answer) UnmarshalBinary(data []byte) error {
	var read Answer
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
