package fleet

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// Endings of the files in a spool.
const (
	jobEnding    = ".job"
	answerEnding = ".answer"
)

// AnswerPath returns where a spool looks for the answer to the job in a file.
func AnswerPath(job string) string { return strings.TrimSuffix(job, jobEnding) + answerEnding }

// often is how long an answer may lie unseen.
const often = 100 * time.Millisecond

// Spool returns an Ask by way of a folder: each job is a file in it, and somebody
// puts the answer beside it, as FlyFile returns it. What lies there in place of
// an answer ends the Ask with an error that names the file; both files then stay.
// The first answer that is taken is flown again from end to end, as that of a new
// worker is.
func (r Run) Spool(folder string) Ask {
	var mu sync.Mutex
	var checker flier
	trusted := false
	return func(ctx context.Context, j Job, accept func(body []byte) error) error {
		j.Program, j.Run = r.Program, r.Name
		sealed, err := j.MarshalBinary()
		if err != nil {
			return err
		}
		question := filepath.Join(folder, key(sealed)[:16]+jobEnding)
		if err := r.Write(question, sealed); err != nil {
			return err
		}
		mu.Lock()
		size, err := checker.size(&j)
		mu.Unlock()
		if err != nil {
			return err
		}
		data, err := await(ctx, question, size.bytes+mostHead+2*mostFlaw)
		if err != nil {
			return err
		}
		body, err := open(data, key(sealed))
		if err == nil {
			mu.Lock()
			err = checker.inspect(ctx, &j, body, !trusted)
			trusted = trusted || err == nil
			mu.Unlock()
		}
		if err == nil {
			err = accept(body)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", AnswerPath(question), err)
		}
		return errors.Join(os.Remove(question), os.Remove(AnswerPath(question)))
	}
}

// await returns what lies beside a job as soon as something does. Where ctx ends
// first, the job is taken back.
func await(ctx context.Context, question string, most int64) ([]byte, error) {
	for {
		data, err := readOwn(AnswerPath(question), most)
		if !errors.Is(err, fs.ErrNotExist) {
			return data, err
		}
		if pause(ctx, often); ctx.Err() != nil {
			return nil, errors.Join(ctx.Err(), os.Remove(question))
		}
	}
}

// open returns the body of a sealed answer to a job.
func open(data []byte, want string) ([]byte, error) {
	var a answer
	if err := a.unmarshal(data); err != nil {
		return nil, err
	}
	if a.Key != want {
		return nil, fmt.Errorf("an answer to job %.12q, want one to %.12s", a.Key, want)
	}
	if a.Flaw != "" {
		return nil, errors.New(a.Flaw)
	}
	return a.Body, nil
}

// FlyFile flies the job in a regular file and returns what to put beside it for
// the search, also where the job cannot be flown: then the error tells why and
// the answer the same. Any other error, that of ctx among them, comes without an
// answer.
func FlyFile(ctx context.Context, in string, program Program) (sealed []byte, err error) {
	data, err := readFile(in, mostBytes)
	if err != nil {
		return nil, err
	}
	var j Job
	if err := j.UnmarshalBinary(data); err != nil {
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	if err := program.fits(j.Program); err != nil {
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	a := answer{Key: key(data)}
	var f flier
	body, flaw := f.fly(ctx, &j)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if a.Body = body; flaw != nil {
		a.Flaw = flaw.Error()
		flaw = fmt.Errorf("%s: %w", in, flaw)
	}
	sealed, err = a.marshal()
	return sealed, errors.Join(flaw, err)
}
