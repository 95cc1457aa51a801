package fleet

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Work flies jobs of a queue elsewhere, n at a time, until ctx ends: that is
// its only end but for a fault of its own, as where the program is another one
// than the jobs need. A server that is away is waited for.
func Work(ctx context.Context, at Place, program Program, n int, say func(string)) error {
	l, err := dial(at, true, say)
	if err != nil {
		return err
	}
	return newWorker(l, program, say).work(ctx, n)
}

// Work is the same at the server's own queue.
func (s *Server) Work(ctx context.Context, program Program, n int, say func(string)) error {
	l, err := s.dial(say)
	if err != nil {
		return err
	}
	return newWorker(l, program, say).work(ctx, n)
}

type crew struct {
	link    *link
	program Program
	name    string
	say     func(string)
	flown   atomic.Int64
}

func newWorker(l *link, program Program, say func(string)) *crew {
	host, _ := os.Hostname()
	return &crew{link: l, program: program, name: fmt.Sprintf("%s/%d", host, os.Getpid()), say: say}
}

func (w *crew) work(ctx context.Context, n int) error {
	defer w.link.conn.Close()
	jobs, err := w.join(ctx)
	if err != nil {
		return err
	}
	w.say(fmt.Sprintf("flying for %s, %d jobs at a time", w.link.url, n))
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var busy sync.WaitGroup
	for range n {
		busy.Go(func() {
			if err := w.fly(ctx, jobs); err != nil {
				cancel(err)
			}
		})
	}
	busy.Wait()
	return context.Cause(ctx)
}

// join waits for the consumer of jobs and checks that they are for this
// program.
func (w *crew) join(ctx context.Context) (jetstream.Consumer, error) {
	waiting := false
	wait := func() {
		if !waiting {
			waiting = true
			w.say("waiting for work at " + w.link.url)
		}
	}
	if !w.link.conn.IsConnected() {
		wait()
	}
	for {
		attempt, cancel := context.WithTimeout(ctx, patience/2)
		jobs, err := w.link.js.Consumer(attempt, jobStream(w.link.queue), workers)
		cancel()
		switch {
		case err == nil:
			meta := jobs.CachedInfo().Config.Metadata
			return jobs, w.program.fits(Program{meta["version"], meta["machine"]})
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case w.link.conn.IsClosed(): // refused: any other fault is waited out
			return nil, fmt.Errorf("%s: %w", w.link.url, w.link.conn.LastError())
		}
		wait()
		pause(ctx, patience/20)
	}
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

// fly takes one job after another.
func (w *crew) fly(ctx context.Context, jobs jetstream.Consumer) error {
	var pilot Pilot
	for ctx.Err() == nil {
		m, err := jobs.Next(jetstream.FetchContext(within(ctx, patience/2)))
		if err != nil {
			// No job, or no server: both may change.
			if !errors.Is(err, context.DeadlineExceeded) && !errors.Is(err, nats.ErrTimeout) {
				pause(ctx, patience/20)
			}
			continue
		}
		if err := w.one(ctx, &pilot, m); err != nil {
			return err
		}
	}
	return nil
}

// within returns a context that also ends after d.
func within(ctx context.Context, d time.Duration) context.Context {
	short, cancel := context.WithTimeout(ctx, d)
	context.AfterFunc(short, cancel)
	return short
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// one flies a job and answers it. The job is ticked off behind the answer, so
// that it cannot be lost between the two.
func (w *crew) one(ctx context.Context, pilot *Pilot, m jetstream.Msg) error {
	var j Job
	if err := j.UnmarshalBinary(m.Data()); err != nil {
		w.say(err.Error())
		return m.Term() // nobody else can read it either; who asked asks again
	}
	if err := w.program.fits(j.Program); err != nil {
		_ = m.NakWithDelay(time.Second)
		return err
	}
	a := Answer{Key: key(m.Data()), By: w.name}
	if meta, err := m.Metadata(); err == nil && meta.NumDelivered > mostTries {
		a.Flaw = fmt.Sprintf("delivered %d times, no worker came to its end", meta.NumDelivered-1)
	} else {
		beating, stop := context.WithCancel(ctx)
		go beat(beating, m)
		body, err := pilot.Fly(ctx, &j)
		stop()
		switch {
		case ctx.Err() != nil:
			_ = m.Nak()
			_ = w.link.conn.FlushTimeout(time.Second)
			return nil
		case err != nil:
			a.Flaw = err.Error()
		default:
			a.Body = body
		}
	}
	return w.answer(ctx, &a, &j, m)
}

// beat tells the queue that a job is being flown.
func beat(ctx context.Context, m jetstream.Msg) {
	tick := time.NewTicker(patience / 4)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			_ = m.InProgress()
		}
	}
}

// answer sends, however long the queue is away.
func (w *crew) answer(ctx context.Context, a *Answer, j *Job, m jetstream.Msg) error {
	sealed, err := a.MarshalBinary()
	if err != nil {
		return err
	}
	if most := w.link.conn.MaxPayload(); int64(len(sealed)) > most {
		a.Flaw, a.Body = fmt.Sprintf("an answer of %d bytes, the queue takes %d", len(sealed), most), nil
		if sealed, err = a.MarshalBinary(); err != nil {
			return err
		}
	}
	for ctx.Err() == nil {
		attempt, cancel := context.WithTimeout(ctx, patience/2)
		_, err := w.link.js.Publish(attempt, answerSubject(w.link.queue, j.Run), sealed)
		cancel()
		if err == nil {
			_ = m.Ack() // else it is flown once more
			w.flown.Add(1)
			return nil
		}
		pause(ctx, patience/20)
	}
	return nil
}
