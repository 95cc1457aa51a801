package fleet

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Endings of the files in a spool.
const (
	jobEnding    = ".job"
	answerEnding = ".answer"
)

const mostFile = 1 << 30 // bytes of a job or an answer in a file

// AnswerPath returns where a spool looks for the answer to the job in a file.
func AnswerPath(job string) string { return strings.TrimSuffix(job, jobEnding) + answerEnding }

// A Spool is a folder that stands for a queue: each job is a file in it, and
// somebody puts the answer beside it, as FlyFile writes it.
type Spool struct {
	Dir     string
	Program Program
	Run     string
}

// often is how long an answer may lie unseen.
const often = 100 * time.Millisecond

// Ask is an Ask.
func (s *Spool) Ask(ctx context.Context, j Job, accept func(body []byte) error) error {
	j.Program, j.Run = s.Program, s.Run
	sealed, err := j.MarshalBinary()
	if err != nil {
		return err
	}
	question := filepath.Join(s.Dir, key(sealed)[:16]+jobEnding)
	reply := AnswerPath(question)
	if err := writeWhole(question, sealed); err != nil {
		return err
	}
	for {
		data, err := readFile(reply, mostFile)
		if err == nil {
			return s.take(question, reply, data, key(sealed), accept)
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if pause(ctx, often); ctx.Err() != nil {
			return errors.Join(ctx.Err(), os.Remove(question))
		}
	}
}

// take reads an answer. Both files go if it is good and stay if not.
func (s *Spool) take(question, reply string, data []byte, want string, accept func([]byte) error) error {
	var a Answer
	err := a.UnmarshalBinary(data)
	switch {
	case err != nil:
	case a.Key != want:
		err = fmt.Errorf("an answer to job %.12s, want one to %.12s", a.Key, want)
	case a.Flaw != "":
		err = errors.New(a.Flaw)
	default:
		err = accept(a.Body)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", reply, err)
	}
	return errors.Join(os.Remove(question), os.Remove(reply))
}

// FlyFile flies the job in a file and writes its answer to another. A job that
// cannot be flown is an error, and the answer says the same.
func FlyFile(ctx context.Context, in, out string, program Program) error {
	data, err := readFile(in, mostFile)
	if err != nil {
		return err
	}
	var j Job
	if err := j.UnmarshalBinary(data); err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	if err := program.fits(j.Program); err != nil {
		return fmt.Errorf("%s: %w", in, err)
	}
	a := Answer{Key: key(data), By: "file"}
	var pilot Pilot
	body, flaw := pilot.Fly(ctx, &j)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if a.Body = body; flaw != nil {
		a.Flaw = flaw.Error()
		flaw = fmt.Errorf("%s: %w", in, flaw)
	}
	sealed, err := a.MarshalBinary()
	if err != nil {
		return err
	}
	if out != "" {
		err = writeWhole(out, sealed)
	}
	return errors.Join(flaw, err)
}

// writeWhole writes a file that is never seen in parts.
func writeWhole(path string, data []byte) error {
	part := path + ".part"
	if err := os.WriteFile(part, data, 0o666); err != nil {
		return err
	}
	return os.Rename(part, path)
}
