package fleet

import (
	"fmt"
	"slices"
	"sync"
	"time"
)

const (
	mostTries   = 5   // workers that come to no end with a job, before it is flown here
	mostSeekers = 64  // of one worker, who wait for a job
	mostReason  = 500 // bytes of why a worker was dropped
)

// jobs are those of a desk that wait for their answers, and who flies them.
type jobs struct {
	mu       sync.Mutex
	waiting  map[string]*question // by key
	queue    []*question          // of them, those that nobody holds, the next first
	seekers  []seeker             // the longest waiting first
	credits  map[string]int       // by worker: its answers that were taken
	names    map[string]string
	lost     map[string]bool   // workers that came to no end with a job, and gave no answer since
	dropped  map[string]string // workers that get no job, and why
	progress time.Time         // of the last answer, or of the last word about none
	silent   time.Time         // since when there is no answer
	news     []string          // to be said without the lock
	say      func(string)

	// yield is how long a job waits for another worker than one that came to no
	// end with its last.
	yield time.Duration
}

// A question is a job that waits for its answer.
type question struct {
	job    *Job
	sealed []byte
	key    string
	most   int64         // bytes of the sealed answer
	bound  time.Duration // for a worker to give it

	holder *holder
	given  chan given
	tries  int       // workers that came to no end with it
	since  time.Time // in the queue
}

// A holder is a worker that was given a job.
type holder struct {
	id, name     string
	here         bool // in this program
	since, heard time.Time
	part         []byte // of its answer
}

// given is what came of a question.
type given struct {
	id       string // of the worker
	here     bool   // flown in this program: body or flaw
	body     []byte
	flaw     error
	sealed   []byte // what another sent
	hopeless bool   // too many came to no end
}

// A seeker wants a job.
type seeker struct {
	id, name string    // empty: in this program
	until    time.Time // then it is told that there is none; zero: never
	hand     func(q *question)
}

func (s *seeker) here() bool { return s.id == "" }

func (l *jobs) begin(say func(string), p pace) {
	l.waiting, l.credits, l.names = map[string]*question{}, map[string]int{}, map[string]string{}
	l.lost, l.dropped = map[string]bool{}, map[string]string{}
	l.say, l.yield = say, p.patience/2
}

// locked calls do alone, and says afterwards what there is to say.
func (l *jobs) locked(do func()) {
	l.mu.Lock()
	do()
	news := l.news
	l.news = nil
	l.mu.Unlock()
	for _, text := range news {
		l.say(text)
	}
}

func (l *jobs) enter(q *question) {
	l.locked(func() {
		if len(l.waiting) == 0 {
			l.silent = time.Now()
			l.progress = l.silent
		}
		l.waiting[q.key] = q
		q.since = time.Now()
		l.queue = append(l.queue, q)
		l.match()
	})
}

func (l *jobs) forget(q *question) {
	l.locked(func() {
		delete(l.waiting, q.key)
		l.queue = slices.DeleteFunc(l.queue, func(other *question) bool { return other == q })
	})
}

func (l *jobs) seek(s seeker) {
	l.locked(func() {
		of := 0
		for _, other := range l.seekers {
			if other.id == s.id {
				of++
			}
		}
		if s.here() || of < mostSeekers {
			l.seekers = append(l.seekers, s)
			l.match()
		}
	})
}

// match gives jobs to those who wait for one.
func (l *jobs) match() {
	now := time.Now()
	l.seekers = slices.DeleteFunc(l.seekers, func(s seeker) bool {
		if !s.until.IsZero() && now.After(s.until) {
			s.hand(nil)
			return true
		}
		i := l.next(s.id, now)
		if i < 0 {
			return false
		}
		q := l.queue[i]
		l.queue = slices.Delete(l.queue, i, i+1)
		q.holder = &holder{id: s.id, name: s.name, here: s.here(), since: now, heard: now}
		l.names[s.id] = s.name
		s.hand(q)
		return true
	})
}

// next returns the place of the first job for a worker, or -1.
func (l *jobs) next(id string, now time.Time) int {
	return slices.IndexFunc(l.queue, func(q *question) bool { return !l.lost[id] || now.Sub(q.since) > l.yield })
}

// give passes on what came of a question, unless nobody asks any more.
func (l *jobs) give(q *question, g given) {
	l.locked(func() { l.pass(q, g) })
}

func (l *jobs) pass(q *question, g given) {
	if l.waiting[q.key] != q {
		return
	}
	q.holder = nil
	q.given <- g // one at a time: it is neither held nor in the queue
}

// again puts a question back after a worker came to no end with it.
func (l *jobs) again(q *question, id string) {
	l.locked(func() { l.retry(q, id) })
}

func (l *jobs) retry(q *question, id string) {
	l.note(q, id)
	l.requeue(q)
}

// note counts that a worker came to no end with a question.
func (l *jobs) note(q *question, id string) {
	q.tries++
	l.lost[id] = true
}

// requeue puts a question first: it has waited longest.
func (l *jobs) requeue(q *question) {
	if l.waiting[q.key] != q {
		return
	}
	if q.tries >= mostTries {
		l.pass(q, given{hopeless: true})
		return
	}
	q.holder, q.since = nil, time.Now()
	l.queue = slices.Insert(l.queue, 0, q)
	l.match()
}

// credit notes that an answer was taken.
func (l *jobs) credit(id string) {
	l.locked(func() {
		l.credits[id]++
		delete(l.lost, id)
		l.silent = time.Now()
		l.progress = l.silent
	})
}

// isNew reports whether no answer of a worker was taken yet.
func (l *jobs) isNew(id string) (is bool) {
	l.locked(func() { is = l.credits[id] == 0 })
	return is
}

func (l *jobs) refusal(id string) (why string) {
	l.locked(func() { why = l.dropped[id] })
	return why
}

// drop gives a worker no job any more, and what it holds to others.
func (l *jobs) drop(id string, why error) {
	l.locked(func() { l.dropNow(id, why) })
}

func (l *jobs) dropNow(id string, why error) {
	if l.dropped[id] != "" {
		return
	}
	reason := why.Error()
	reason = reason[:min(len(reason), mostReason)]
	l.dropped[id] = reason
	text := fmt.Sprintf("worker %s dropped: %s", l.names[id], reason)
	if n := l.credits[id]; n > 0 {
		text += fmt.Sprintf("; %d answers of it were taken before, which passed their checks", n)
	}
	l.news = append(l.news, text)
	l.freeAll(id)
}

// release gives what a worker holds to others.
func (l *jobs) release(id string) {
	l.locked(func() { l.freeAll(id) })
}

func (l *jobs) freeAll(id string) {
	l.seekers = slices.DeleteFunc(l.seekers, func(s seeker) bool { return s.id == id })
	for _, q := range l.waiting {
		if q.holder != nil && q.holder.id == id {
			l.requeue(q)
		}
	}
}
