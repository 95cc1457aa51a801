package fleet

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// held returns the question that a worker holds, and notes that it lives.
func (l *jobs) held(id, key string) *question {
	q := l.waiting[key]
	if q == nil || q.holder == nil || q.holder.here || q.holder.id != id {
		return nil
	}
	q.holder.heard = time.Now()
	return q
}

func (l *jobs) heard(id, key string) {
	l.locked(func() { l.held(id, key) })
}

// read returns a part of a job.
func (l *jobs) read(c *call) (r reply, part []byte) {
	l.locked(func() {
		q := l.held(c.ID, c.Key)
		if q == nil || c.At < 0 || c.At > int64(len(q.sealed)) {
			r.Gone = true
			return
		}
		part = q.sealed[c.At:min(c.At+partBytes, int64(len(q.sealed)))]
	})
	return r, part
}

// write takes a part of an answer.
func (l *jobs) write(c *call, part []byte) (r reply) {
	l.locked(func() {
		q := l.held(c.ID, c.Key)
		if q == nil {
			r.Gone = true
			return
		}
		h := q.holder
		if c.Size < 1 || c.Size > q.most {
			l.note(q, c.ID)
			l.dropNow(c.ID, fmt.Errorf("%v: an answer of %d bytes, want at most %d", q.job, c.Size, q.most))
			r.Refused = l.dropped[c.ID]
			return
		}
		if c.At == int64(len(h.part)) && c.At+int64(len(part)) <= c.Size {
			h.part = append(h.part, part...)
		}
		r.At = int64(len(h.part))
		if r.At == c.Size {
			l.pass(q, given{id: c.ID, sealed: h.part})
		}
	})
	return r
}

// expire gives jobs to others whose workers are silent or take too long, and
// tells if there is no progress.
func (l *jobs) expire(now time.Time, p pace) {
	l.locked(func() {
		for _, q := range l.waiting {
			h := q.holder
			switch {
			case h == nil || h.here:
			case now.Sub(h.since) > q.bound:
				l.note(q, h.id)
				l.dropNow(h.id, fmt.Errorf("%v: no answer within %v", q.job, q.bound.Round(time.Millisecond)))
			case now.Sub(h.heard) > p.patience:
				l.retry(q, h.id)
			}
		}
		l.match() // those that waited for another worker
		if len(l.waiting) > 0 && now.Sub(l.progress) >= p.quiet {
			l.progress = now
			l.news = append(l.news, fmt.Sprintf("no progress for %.0f s: waiting for %s", now.Sub(l.silent).Seconds(), l.wanted()))
		}
	})
}

// mostNamed is the number of jobs that a message names.
const mostNamed = 4

// wanted tells which jobs are waited for, and where they are.
func (l *jobs) wanted() string {
	var held []string
	free := 0
	for _, q := range l.waiting {
		switch {
		case slices.Contains(l.queue, q):
			free++
		case q.holder == nil:
			held = append(held, q.job.String()+", which is checked here")
		case q.holder.here:
			held = append(held, q.job.String()+" in this program")
		default:
			held = append(held, fmt.Sprintf("%v at worker %s", q.job, q.holder.name))
		}
	}
	if len(held) == 0 {
		return fmt.Sprintf("workers, %d jobs are ready", free)
	}
	slices.Sort(held)
	if n := len(held) - mostNamed; n > 0 {
		held = append(held[:mostNamed], fmt.Sprintf("%d more", n))
	}
	if free > 0 {
		held = append(held, fmt.Sprintf("a worker for %d jobs", free))
	}
	return strings.Join(held, ", ")
}
