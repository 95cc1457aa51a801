package fleet

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

const (
	patience  = 5 * time.Second // without a heartbeat, and a job is given to another worker
	mostTries = 5               // deliveries of a job that nobody answers, and bad answers to it
	mostAge   = 24 * time.Hour  // of a job or an answer that nobody fetches
)

// A Desk hands out the jobs of one run and takes the answers.
type Desk struct {
	program Program
	run     string
	spoilt  string // folder for jobs that no worker can fly
	link    *link
	say     func(string)
	stop    context.CancelFunc
	ended   sync.WaitGroup

	mu       sync.Mutex
	waiting  map[string]*question // by key
	consumer jetstream.ConsumeContext
}

// A question is a job that waits for its answer.
type question struct {
	sealed  []byte
	answers chan Answer
	place   uint64 // in the stream
	absent  int    // how often it was looked for there in vain
}

// Open takes a place at the desk of a queue elsewhere. The run's name is part
// of its subjects. Jobs that no worker can fly are kept in the folder spoilt.
// say is told what somebody who waits wants to know.
func Open(ctx context.Context, at Place, program Program, run, spoilt string, say func(string)) (*Desk, error) {
	l, err := dial(at, false, say)
	if err != nil {
		return nil, err
	}
	return newDesk(ctx, l, program, run, spoilt, say)
}

// Open is the same at the server's own queue.
func (s *Server) Open(ctx context.Context, program Program, run, spoilt string, say func(string)) (*Desk, error) {
	l, err := s.dial(say)
	if err != nil {
		return nil, err
	}
	return newDesk(ctx, l, program, run, spoilt, say)
}

func newDesk(ctx context.Context, l *link, program Program, run, spoilt string, say func(string)) (*Desk, error) {
	d := &Desk{program: program, run: run, spoilt: spoilt, link: l, say: say, waiting: map[string]*question{}}
	setUp, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	if err := d.prepare(setUp); err != nil {
		l.conn.Close()
		return nil, err
	}
	d.purge(setUp) // what an earlier session left
	tending, stop := context.WithCancel(context.WithoutCancel(ctx))
	d.stop = stop
	d.ended.Go(func() { d.tend(tending) })
	return d, nil
}

// Close leaves the queue without a trace of the run.
func (d *Desk) Close() {
	d.stop()
	d.ended.Wait()
	d.consumer.Stop()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	d.purge(ctx)
	_ = d.link.js.DeleteConsumer(ctx, answerStream(d.link.queue), d.run)
	d.link.conn.Close()
}

// prepare makes the streams and consumers, or finds them as they are.
func (d *Desk) prepare(ctx context.Context) error {
	q := d.link.queue
	for stream, subject := range map[string]string{jobStream(q): jobSubject(q, "*"), answerStream(q): answerSubject(q, "*")} {
		_, err := d.link.js.CreateOrUpdateStream(ctx, jetstream.StreamConfig{
			Name: stream, Subjects: []string{subject},
			Retention: jetstream.WorkQueuePolicy, Storage: jetstream.FileStorage, MaxAge: mostAge,
		})
		if err != nil {
			return fmt.Errorf("queue %s: stream %s: %w", q, stream, err)
		}
	}
	_, err := d.link.js.CreateOrUpdateConsumer(ctx, jobStream(q), jetstream.ConsumerConfig{
		Durable: workers, AckPolicy: jetstream.AckExplicitPolicy, AckWait: patience, MaxAckPending: -1,
		Metadata: map[string]string{"version": d.program.Version, "machine": d.program.Machine},
	})
	if err != nil {
		return fmt.Errorf("queue %s: workers: %w", q, err)
	}
	answers, err := d.link.js.CreateOrUpdateConsumer(ctx, answerStream(q), jetstream.ConsumerConfig{
		Durable: d.run, FilterSubject: answerSubject(q, d.run), AckPolicy: jetstream.AckExplicitPolicy, AckWait: patience,
	})
	if err != nil {
		return fmt.Errorf("queue %s: answers: %w", q, err)
	}
	if d.consumer != nil {
		d.consumer.Stop()
	}
	// One at a time: they may be large.
	d.consumer, err = answers.Consume(d.receive, jetstream.PullMaxMessages(1))
	return err
}

func (d *Desk) purge(ctx context.Context) {
	q := d.link.queue
	if stream, err := d.link.js.Stream(ctx, jobStream(q)); err == nil {
		_ = stream.Purge(ctx, jetstream.WithPurgeSubject(jobSubject(q, d.run)))
	}
}

// receive passes an answer to who asked. One to a job that was answered
// already, as where a job was flown twice, is dropped.
func (d *Desk) receive(m jetstream.Msg) {
	defer func() { _ = m.Ack() }()
	var a Answer
	if err := a.UnmarshalBinary(m.Data()); err != nil {
		d.say(err.Error())
		return
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if q := d.waiting[a.Key]; q != nil {
		select {
		case q.answers <- a:
		default:
		}
	}
}

// An Ask has a job flown somewhere and waits. accept reads the body of the
// answer; one that it does not accept is not what any worker writes, and is
// asked for again.
type Ask func(ctx context.Context, j Job, accept func(body []byte) error) error

// Ask is an Ask. A job that no worker can fly is kept as a file, which the
// error names.
func (d *Desk) Ask(ctx context.Context, j Job, accept func(body []byte) error) error {
	j.Program, j.Run = d.program, d.run
	sealed, err := j.MarshalBinary()
	if err != nil {
		return err
	}
	if most := d.link.conn.MaxPayload(); int64(len(sealed)) > most {
		return fmt.Errorf("%v: %d bytes, the queue takes %d: want its max_payload raised, or fewer flights an island", &j, len(sealed), most)
	}
	q := &question{sealed: sealed, answers: make(chan Answer, 1)}
	d.mu.Lock()
	d.waiting[key(sealed)] = q
	d.mu.Unlock()
	defer func() {
		d.mu.Lock()
		delete(d.waiting, key(sealed))
		d.mu.Unlock()
	}()
	for try := 1; ; try++ {
		if err := d.publish(ctx, q); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case a := <-q.answers:
			flaw := errors.New(a.Flaw)
			if a.Flaw == "" {
				if flaw = accept(a.Body); flaw == nil {
					return nil
				}
				d.say(fmt.Sprintf("%v: bad answer of worker %s: %v", &j, a.By, flaw))
				if try < mostTries {
					continue
				}
			}
			return d.keep(&j, sealed, a.By, flaw)
		}
	}
}

// keep writes a job that cannot be flown to a file.
func (d *Desk) keep(j *Job, sealed []byte, by string, flaw error) error {
	path := filepath.Join(d.spoilt, "spoilt-"+key(sealed)[:12]+".job")
	if err := os.WriteFile(path, sealed, 0o666); err != nil {
		return errors.Join(fmt.Errorf("%v: worker %s: %w", j, by, flaw), err)
	}
	return fmt.Errorf("%v: worker %s: %w; the job is in %s, worker --replay flies it again", j, by, flaw, path)
}

// publish puts a job into the queue, however long the queue is away.
func (d *Desk) publish(ctx context.Context, q *question) error {
	for {
		attempt, cancel := context.WithTimeout(ctx, patience/2)
		ack, err := d.link.js.Publish(attempt, jobSubject(d.link.queue, d.run), q.sealed)
		cancel()
		if err == nil {
			d.mu.Lock()
			q.place, q.absent = ack.Sequence, 0
			d.mu.Unlock()
			return nil
		}
		if pause(ctx, patience/20); ctx.Err() != nil {
			return ctx.Err()
		}
	}
}

// tend looks after the queue: a server that lost its store, as one that was
// set up anew, has forgotten streams and jobs.
func (d *Desk) tend(ctx context.Context) {
	tick := time.NewTicker(patience)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		jobs, err := d.link.js.Stream(ctx, jobStream(d.link.queue))
		if errors.Is(err, jetstream.ErrStreamNotFound) {
			d.say("the queue was set up anew, jobs are sent again")
			if err := d.prepare(ctx); err != nil {
				d.say(err.Error())
				continue
			}
			jobs, err = d.link.js.Stream(ctx, jobStream(d.link.queue))
		}
		if err != nil {
			continue // away: the connection tells
		}
		for _, q := range d.lost(ctx, jobs) {
			if d.publish(ctx, q) != nil {
				return
			}
		}
	}
}

// lost returns the questions whose jobs are not in the stream, nor were at the
// last look. A job leaves the stream when it is answered: in between the answer
// is on its way.
func (d *Desk) lost(ctx context.Context, jobs jetstream.Stream) []*question {
	d.mu.Lock()
	places := map[*question]uint64{}
	for _, q := range d.waiting {
		if q.place > 0 { // else it is being sent
			places[q] = q.place
		}
	}
	d.mu.Unlock()
	var lost []*question
	for q, place := range places {
		_, err := jobs.GetMsg(ctx, place)
		d.mu.Lock()
		if !errors.Is(err, jetstream.ErrMsgNotFound) {
			q.absent = 0
		} else if q.absent++; q.absent > 1 {
			q.absent = 0
			lost = append(lost, q)
		}
		d.mu.Unlock()
	}
	return lost
}
