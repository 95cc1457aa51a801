package fleet

import (
	"context"
	"crypto/tls"
	"fmt"
	"runtime"
	"sync"
	"time"
)

// A Run is what the one who hands out work knows of the run it is for.
type Run struct {
	Program Program
	Name    string // tells its jobs from those of other runs
	Folder  string // for jobs that cannot be flown

	// Write writes a file whole or not at all.
	Write func(path string, data []byte) error

	// Say is told what somebody who waits wants to know. The text may hold what
	// a worker sent, of any characters.
	Say func(text string)
}

// A Desk hands out the jobs of one run and takes the answers.
type Desk struct {
	run     Run
	host    *host // nil: the server is elsewhere
	link    *link
	pace    pace
	fliers  chan *flier // that fly again what workers answer
	ctx     context.Context
	stop    context.CancelFunc
	tending sync.WaitGroup
	jobs    jobs
}

// Serve opens a desk with a server of its own at addr, as host:port; without a
// host only this machine reaches it, and any other needs a token. It errs where
// the address cannot be listened at.
func (r Run) Serve(addr, token string, secure *tls.Config) (*Desk, error) {
	h, err := newHost(addr, token, secure)
	if err != nil {
		return nil, err
	}
	l, err := dial(context.Background(), Place{}, false, r.Say, h.options()...)
	if err != nil {
		h.close()
		return nil, err
	}
	return r.open(h, l, usual)
}

// Reach errs where the server at a place cannot be reached or does not let anyone
// in, and says why, within some seconds; so it does where ctx ends first.
func Reach(ctx context.Context, at Place) error {
	l, err := dial(ctx, at, false, func(string) {})
	if err == nil {
		l.conn.Close()
	}
	return err
}

// Open opens a desk at a server elsewhere. It errs where the server does not let
// it in, where another desk has the queue, and with the error of ctx.
func (r Run) Open(ctx context.Context, at Place) (*Desk, error) {
	l, err := dial(ctx, at, false, r.Say)
	if err != nil {
		return nil, err
	}
	short, cancel := context.WithTimeout(ctx, time.Second)
	defer cancel()
	if _, err := l.conn.RequestWithContext(short, desk(l.queue), pack(call{Do: whoServes, ID: l.id}, nil)); err == nil {
		l.conn.Close()
		return nil, fmt.Errorf("queue %s: another run hands out its work there, want a queue for each", l.queue)
	}
	if ctx.Err() != nil {
		l.conn.Close()
		return nil, ctx.Err()
	}
	return r.open(nil, l, usual)
}

func (r Run) open(h *host, l *link, p pace) (*Desk, error) {
	d := &Desk{run: r, host: h, link: l, pace: p, fliers: make(chan *flier, runtime.NumCPU())}
	for range cap(d.fliers) {
		d.fliers <- &flier{}
	}
	d.jobs.begin(r.Say, p)
	d.ctx, d.stop = context.WithCancel(context.Background())
	_, err := l.conn.Subscribe(desk(l.queue), d.receive)
	if err == nil {
		err = l.conn.Flush()
	}
	if err != nil {
		d.Close()
		return nil, fmt.Errorf("queue %s: %w", l.queue, err)
	}
	d.tending.Go(d.tend)
	return d, nil
}

// URL returns the address of the desk's own server for workers on this machine.
func (d *Desk) URL() string { return d.host.url() }

// closing is how long Close waits for work in this program: nobody wants what
// is left of it.
const closing = 300 * time.Millisecond

// Close ends the work in this program and leaves the server, or ends it if it is
// the desk's own.
func (d *Desk) Close() {
	d.stop()
	ended := make(chan struct{})
	go func() {
		d.tending.Wait()
		close(ended)
	}()
	select {
	case <-ended:
	case <-time.After(closing):
	}
	d.link.conn.Close()
	if d.host != nil {
		d.host.close()
	}
}

// Staff has n jobs at a time flown in this program, until Close. What it flies
// itself the desk believes.
func (d *Desk) Staff(n int) {
	for range n {
		d.tending.Go(func() {
			var f flier
			for q := d.take(); q != nil; q = d.take() {
				body, err := f.fly(d.ctx, q.job)
				if d.ctx.Err() != nil {
					return
				}
				d.jobs.give(q, given{here: true, body: body, flaw: err})
			}
		})
	}
}

// take waits for a job, and returns nil at Close.
func (d *Desk) take() *question {
	found := make(chan *question, 1)
	d.jobs.seek(seeker{hand: func(q *question) { found <- q }})
	select {
	case q := <-found:
		return q
	case <-d.ctx.Done():
		return nil
	}
}

// An Ask has a job flown somewhere and waits. accept reads the body of the
// answer, which holds nothing that no worker of this program writes; an error of
// it is that of Ask.
type Ask func(ctx context.Context, j Job, accept func(body []byte) error) error

// Ask is an Ask. A job that cannot be flown is kept as a file, which the error
// names.
func (d *Desk) Ask(ctx context.Context, j Job, accept func(body []byte) error) error {
	j.Program, j.Run = d.run.Program, d.run.Name
	q, err := d.pose(ctx, &j)
	if err != nil {
		return err
	}
	d.jobs.enter(q)
	defer d.jobs.forget(q)
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case g := <-q.given:
			if over, err := d.judge(ctx, q, &g, accept); over {
				return err
			}
		}
	}
}

// pose returns the question that a job is.
func (d *Desk) pose(ctx context.Context, j *Job) (*question, error) {
	if j.Leg != nil && len(j.Leg.Island) > mostIsland {
		return nil, fmt.Errorf("%v: %d bytes, a fleet carries %d: want fewer flights an island", j, len(j.Leg.Island), mostIsland)
	}
	sealed, err := j.MarshalBinary()
	if err != nil {
		return nil, err
	}
	q := &question{job: j, sealed: sealed, key: key(sealed), given: make(chan given, 1)}
	err = d.withFlier(ctx, func(f *flier) error {
		size, err := f.size(j)
		q.most = size.bytes + mostHead + 2*mostFlaw
		q.bound = d.pace.bound(size.flights, int64(len(sealed))+q.most)
		return err
	})
	return q, err
}

// withFlier calls do as soon as few enough do the same.
func (d *Desk) withFlier(ctx context.Context, do func(f *flier) error) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case f := <-d.fliers:
		defer func() { d.fliers <- f }()
		return do(f)
	}
}

// tend looks every second or so after jobs that are not answered.
func (d *Desk) tend() {
	tick := time.NewTicker(d.pace.patience / 5)
	defer tick.Stop()
	for {
		select {
		case <-d.ctx.Done():
			return
		case <-tick.C:
			d.jobs.expire(time.Now(), d.pace)
		}
	}
}
