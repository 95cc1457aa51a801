package fleet

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// judge takes what came of a question, and reports whether that is the end of
// it. A worker whose answer is not what comes out here is dropped, and another
// gets the job.
func (d *Desk) judge(ctx context.Context, q *question, g *given, accept func([]byte) error) (over bool, err error) {
	switch {
	case g.hopeless:
		return true, d.flyHere(ctx, q, accept, true)
	case g.here && g.flaw != nil:
		return true, d.keep(q, g.flaw)
	case g.here:
		return true, d.accepted(q, g, accept)
	}
	var a answer
	flaw := a.unmarshal(g.sealed)
	if flaw == nil && a.Key != q.key {
		flaw = fmt.Errorf("an answer to job %.12q", a.Key)
	}
	if flaw == nil && a.Flaw != "" {
		// It may be right. If not, the answer is there.
		if err := d.flyHere(ctx, q, accept, false); err != nil {
			return true, err
		}
		d.jobs.drop(g.id, fmt.Errorf("%v: cannot fly what is flown here: %s", q.job, a.Flaw))
		return true, nil
	}
	if flaw == nil {
		g.body = a.Body
		flaw = d.withFlier(ctx, func(f *flier) error { return f.inspect(ctx, q.job, a.Body, d.jobs.isNew(g.id)) })
	}
	if ctx.Err() != nil {
		return true, ctx.Err()
	}
	if flaw == nil {
		return true, d.accepted(q, g, accept)
	}
	d.jobs.drop(g.id, fmt.Errorf("%v: %w", q.job, flaw))
	d.jobs.again(q, g.id)
	return false, nil
}

func (d *Desk) accepted(q *question, g *given, accept func([]byte) error) error {
	if err := accept(g.body); err != nil {
		return fmt.Errorf("%v: %w", q.job, err)
	}
	d.jobs.credit(g.id)
	return nil
}

// flyHere flies a job that workers cannot. One that may have killed them is kept
// first, in case it does the same here.
func (d *Desk) flyHere(ctx context.Context, q *question, accept func([]byte) error, kept bool) error {
	if kept {
		if err := d.run.Write(d.spoilt(q), q.sealed); err != nil {
			return fmt.Errorf("%v: not flown, for it may end this program as it ended workers: %w", q.job, err)
		}
		d.run.Say(fmt.Sprintf("%v: given out %d times, no worker came to its end: flown here", q.job, q.tries))
	}
	return d.withFlier(ctx, func(f *flier) error {
		body, err := f.fly(ctx, q.job)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil {
			return d.keep(q, err)
		}
		if kept {
			err = os.Remove(d.spoilt(q))
		}
		return errors.Join(err, d.accepted(q, &given{here: true, body: body}, accept))
	})
}

func (d *Desk) spoilt(q *question) string {
	return filepath.Join(d.run.Folder, "spoilt-"+q.key[:12]+jobEnding)
}

// keep writes a job that cannot be flown to a file.
func (d *Desk) keep(q *question, flaw error) error {
	path := d.spoilt(q)
	if err := d.run.Write(path, q.sealed); err != nil {
		return errors.Join(fmt.Errorf("%v: %w", q.job, flaw), err)
	}
	return fmt.Errorf("%v: %w; the job is in %s, worker --replay flies it again", q.job, flaw, path)
}
