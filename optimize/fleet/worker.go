package fleet

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"
)

const (
	heartbeat = time.Second            // a desk waits for several
	short     = 250 * time.Millisecond // between two tries of what cannot be done now
)

// Work flies jobs for a desk elsewhere, n at a time, until ctx ends. It errs with
// the error of ctx and where the worker is of no use to the desk: the program is
// another one than the jobs need, or the desk has dropped the worker. A server
// that is away is waited for. say is told what somebody who waits wants to know.
func Work(ctx context.Context, at Place, program Program, n int, say func(string)) error {
	l, err := dial(ctx, at, true, say)
	if err != nil {
		return err
	}
	defer l.conn.Close()
	host, _ := os.Hostname()
	w := &crew{link: l, program: program, name: fmt.Sprintf("%s/%d", host, os.Getpid()), say: say}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	ended := make(chan struct{})
	var busy sync.WaitGroup
	for range n {
		busy.Go(func() {
			if err := w.fly(ctx); err != nil {
				cancel(err)
			}
		})
	}
	go func() {
		busy.Wait()
		close(ended)
	}()
	<-ctx.Done()
	_ = w.tell(call{Do: leave}) // else the jobs wait until the desk loses patience
	_ = l.conn.FlushTimeout(closing)
	select {
	case <-ended:
	case <-time.After(closing): // a long flight, which nobody wants any more
	}
	return context.Cause(ctx)
}

// A crew is a worker: several who fly over one connection.
type crew struct {
	link    *link
	program Program
	name    string
	say     func(string)
	tells   sync.Once // that it waits
	joined  sync.Once
}

// errGone is the end of a job that is given to another, or whose desk is.
var errGone = errors.New("the job is another's")

// tell sends a call that has no reply.
func (w *crew) tell(c call) error {
	c.ID, c.Name, c.Program = w.link.id, w.name, w.program
	return w.link.conn.Publish(desk(w.link.queue), pack(c, nil))
}

// ask sends a call and waits for its reply, at most that long.
func (w *crew) ask(ctx context.Context, c call, part []byte, most time.Duration) (r reply, more []byte, err error) {
	c.ID, c.Name, c.Program = w.link.id, w.name, w.program
	limited, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	m, err := w.link.conn.RequestWithContext(limited, desk(w.link.queue), pack(c, part))
	if err != nil {
		return r, nil, err
	}
	if more, err = unpack(m.Data, &r); err != nil {
		return r, nil, err
	}
	if r.Refused == "" {
		return r, more, nil
	}
	if err := w.program.fits(r.Wanted); err != nil {
		return r, nil, err
	}
	return r, nil, fmt.Errorf("worker: refused by %s: %s", w.link.url, r.Refused)
}

// insist asks until there is a reply: the desk may be away for a while.
func (w *crew) insist(ctx context.Context, c call, part []byte) (r reply, more []byte, err error) {
	for {
		r, more, err = w.ask(ctx, c, part, 2*usual.patience)
		switch {
		case ctx.Err() != nil:
			return r, nil, ctx.Err()
		case err == nil && r.Gone:
			return r, nil, errGone
		case err == nil || r.Refused != "":
			return r, more, err
		case w.link.conn.IsClosed():
			return r, nil, w.refused()
		}
		pause(ctx, short)
	}
}

// refused tells why the server let the worker in no more. Any other fault of the
// connection is waited out.
func (w *crew) refused() error {
	return fmt.Errorf("%s: %w", w.link.url, w.link.conn.LastError())
}

// waits tells, once, that there is no work.
func (w *crew) waits() {
	w.tells.Do(func() { w.say("waiting for work at " + w.link.url) })
}

// fly takes one job after another.
func (w *crew) fly(ctx context.Context) error {
	var f flier
	for ctx.Err() == nil {
		r, _, err := w.ask(ctx, call{Do: takeJob}, nil, usual.patience)
		switch {
		case r.Refused != "":
			return err
		case err == nil && r.Key == "":
			w.waits()
		case err == nil:
			w.joined.Do(func() { w.say("flying for " + w.link.url) })
			if err := w.one(ctx, &f, &r); err != nil && !errors.Is(err, errGone) {
				return err
			}
		case w.link.conn.IsClosed() && ctx.Err() == nil:
			return w.refused()
		default:
			w.waits()
			if !errors.Is(err, context.DeadlineExceeded) {
				pause(ctx, short)
			}
		}
	}
	return nil
}

// one fetches a job, flies it and answers it. It errs where the worker is of no
// use, with errGone or with the error of ctx.
func (w *crew) one(ctx context.Context, f *flier, r *reply) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	go w.beat(ctx, r.Key)
	sealed, err := w.fetch(ctx, r)
	if err != nil {
		return err
	}
	var j Job
	if err := j.UnmarshalBinary(sealed); err != nil || key(sealed) != r.Key {
		return errGone // the desk gives it to another
	}
	if err := w.program.fits(j.Program); err != nil {
		return err
	}
	a := answer{Key: r.Key}
	body, flaw := f.fly(ctx, &j)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if a.Body = body; flaw != nil {
		a.Flaw = flaw.Error()
	}
	if sealed, err = a.marshal(); err != nil {
		return err
	}
	return w.send(ctx, r.Key, sealed)
}

// fetch reads a job part by part: a large one on a slow line needs its time, and
// every part shows that the worker lives.
func (w *crew) fetch(ctx context.Context, r *reply) ([]byte, error) {
	if r.Size < 0 || r.Size > mostBytes {
		return nil, fmt.Errorf("worker: a job of %d bytes, want at most %d", r.Size, mostBytes)
	}
	var sealed bytes.Buffer
	for int64(sealed.Len()) < r.Size {
		_, part, err := w.insist(ctx, call{Do: readPart, Key: r.Key, At: int64(sealed.Len())}, nil)
		if err != nil {
			return nil, err
		}
		if len(part) == 0 || len(part) > partBytes {
			return nil, errGone
		}
		sealed.Write(part)
	}
	return sealed.Bytes(), nil
}

// send writes an answer part by part, from where the desk has it.
func (w *crew) send(ctx context.Context, key string, sealed []byte) error {
	size := int64(len(sealed))
	for at := int64(0); at < size; {
		r, _, err := w.insist(ctx, call{Do: writePart, Key: key, At: at, Size: size}, sealed[at:min(at+partBytes, size)])
		if err != nil {
			return err
		}
		if r.At < 0 {
			return errGone
		}
		at = r.At
	}
	return nil
}

// beat tells the desk that a job is being flown.
func (w *crew) beat(ctx context.Context, key string) {
	tick := time.NewTicker(heartbeat)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			_ = w.tell(call{Do: beat, Key: key}) // an error is one of the connection, which tells itself
		}
	}
}
