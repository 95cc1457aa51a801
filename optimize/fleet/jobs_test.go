package fleet

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"ullage/optimize/sweep"
)

// shelf is the jobs of a desk with nobody at the line, and what they said.
func shelf() (l *jobs, said *[]string) {
	l, said = &jobs{}, &[]string{}
	l.begin(func(text string) { *said = append(*said, text) }, usual)
	return l, said
}

// asked is a question that has entered.
func asked(l *jobs, key string) *question {
	q := &question{
		job: &Job{Leg: &Leg{Index: len(l.waiting)}}, sealed: []byte("the job " + key), key: key,
		most: 10, bound: time.Minute, given: make(chan given, 1),
	}
	l.enter(q)
	return q
}

// seekers notes which job they were given: one or none.
func sought(l *jobs, id string, until time.Time) *[]string {
	got := &[]string{}
	l.seek(seeker{id: id, name: "worker " + id, until: until, hand: func(q *question) {
		if q == nil {
			*got = append(*got, "none")
			return
		}
		*got = append(*got, q.key)
	}})
	return got
}

// Jobs go out in the order in which they came, to those who wait longest, one to
// each; a job that comes back goes out first.
func TestJobsInOrder(t *testing.T) {
	l, _ := shelf()
	a := asked(l, "a")
	asked(l, "b")
	first, second, third := sought(l, "1", time.Time{}), sought(l, "2", time.Time{}), sought(l, "3", time.Time{})
	if !slices.Equal(*first, []string{"a"}) || !slices.Equal(*second, []string{"b"}) || len(*third) > 0 {
		t.Errorf("given %v, %v, %v; want a, b and nothing yet", *first, *second, *third)
	}
	asked(l, "c")
	asked(l, "d")
	if !slices.Equal(*third, []string{"c"}) {
		t.Errorf("who waited was given %v, want c, which came", *third)
	}
	l.again(a, "1")
	if got := sought(l, "4", time.Time{}); !slices.Equal(*got, []string{"a"}) {
		t.Errorf("given %v, want a, which has waited longest", *got)
	}
	if got := sought(l, "5", time.Time{}); !slices.Equal(*got, []string{"d"}) {
		t.Errorf("given %v, want d", *got)
	}
	late := sought(l, "6", time.Now().Add(-time.Second))
	if !slices.Equal(*late, []string{"none"}) {
		t.Errorf("who waits no longer was given %v, want word that there is none", *late)
	}
	if asked(l, "e"); len(*late) != 1 {
		t.Errorf("who was told that there is none was given %v all the same", *late)
	}
}

// A worker that came to no end with a job leaves the next ones to others for half
// the patience, until an answer of it is taken.
func TestLostWorkersYield(t *testing.T) {
	l, _ := shelf()
	q := asked(l, "a")
	sought(l, "1", time.Time{})
	l.again(q, "1")
	now := q.since
	for _, row := range []struct {
		id    string
		after time.Duration
		at    int
	}{{"1", 0, -1}, {"1", usual.patience / 2, -1}, {"1", usual.patience/2 + 1, 0}, {"2", 0, 0}} {
		if got := l.next(row.id, now.Add(row.after)); got != row.at {
			t.Errorf("worker %s after %v: place %d, want %d", row.id, row.after, got, row.at)
		}
	}
	if !l.isNew("1") {
		t.Error("a worker without an answer is no longer new")
	}
	if l.credit("1"); l.next("1", now) != 0 || l.isNew("1") {
		t.Errorf("after an answer: place %d, new %v, want the job", l.next("1", now), l.isNew("1"))
	}
}

// A job is given out five times; whom nobody asks for any more goes to nobody.
func TestFiveTries(t *testing.T) {
	l, _ := shelf()
	q := asked(l, "a")
	for try := 1; try <= 5; try++ {
		id := fmt.Sprint(try)
		if got := sought(l, id, time.Time{}); len(*got) != 1 {
			t.Fatalf("try %d: given %v", try, *got)
		}
		l.again(q, id)
		if hopeless := len(q.given) == 1; hopeless != (try == 5) {
			t.Fatalf("hopeless %v after %d tries, want 5", hopeless, try)
		}
	}
	if g := <-q.given; !g.hopeless || q.tries != 5 {
		t.Errorf("%+v after %d tries", g, q.tries)
	}
	l.forget(q)
	l.give(q, given{})
	if l.again(q, "6"); len(q.given) > 0 || len(l.queue) > 0 || len(l.waiting) > 0 {
		t.Errorf("%d waiting, %d in the queue after the question was forgotten", len(l.waiting), len(l.queue))
	}
}

// One worker waits for jobs at most 64 times over; who flies here waits as often
// as asked.
func TestSeekersAreBounded(t *testing.T) {
	l, _ := shelf()
	for range 100 {
		sought(l, "1", time.Time{})
	}
	sought(l, "2", time.Time{})
	if len(l.seekers) != 65 {
		t.Errorf("%d seekers of one that asks a hundred times and one that asks once, want 65", len(l.seekers))
	}
	for range 70 {
		sought(l, "", time.Time{})
	}
	if len(l.seekers) != 135 {
		t.Errorf("%d seekers, want 70 more of this program", len(l.seekers))
	}
	if l.release("1"); len(l.seekers) != 71 {
		t.Errorf("%d seekers after one left, want 71", len(l.seekers))
	}
}

// A job is its holder's alone: no other worker reads it or writes an answer to
// it, nor one of another name, nor anybody while it is flown here.
func TestHeldByOne(t *testing.T) {
	l, _ := shelf()
	q := asked(l, "a")
	if l.held("1", "a") != nil {
		t.Error("a job that waits is held")
	}
	sought(l, "1", time.Time{})
	q.holder.heard = time.Time{}
	for _, c := range []struct{ id, key string }{{"2", "a"}, {"1", "b"}, {"", "a"}} {
		if l.held(c.id, c.key) != nil || !q.holder.heard.IsZero() {
			t.Errorf("job %q is held by %q", c.key, c.id)
		}
		if r, part := l.read(&call{ID: c.id, Key: c.key}); !r.Gone || part != nil {
			t.Errorf("worker %q reads %q of job %q", c.id, part, c.key)
		}
		if r := l.write(&call{ID: c.id, Key: c.key, Size: 1}, []byte("x")); !r.Gone {
			t.Errorf("worker %q writes to job %q: %+v", c.id, c.key, r)
		}
	}
	if l.heard("1", "a"); time.Since(q.holder.heard) > time.Minute {
		t.Error("a beat of the holder is not heard")
	}
	here := asked(l, "c")
	sought(l, "", time.Time{})
	if here.holder == nil || !here.holder.here || l.held("", "c") != nil {
		t.Errorf("a job that is flown here is held by a worker: %+v", here.holder)
	}
}

// Of a job any part is read from its place on, 64 KiB at most; beyond its end, or
// before its beginning, is none.
func TestPartsOfAJob(t *testing.T) {
	l, _ := shelf()
	q := asked(l, "a")
	q.sealed = make([]byte, 64<<10+7)
	for i := range q.sealed {
		q.sealed[i] = byte(i % 251)
	}
	sought(l, "1", time.Time{})
	for _, row := range []struct {
		at   int64
		n    int
		gone bool
	}{{0, 64 << 10, false}, {7, 64 << 10, false}, {8, 64<<10 - 1, false}, {64 << 10, 7, false}, {64<<10 + 7, 0, false}, {64<<10 + 8, 0, true}, {-1, 0, true}} {
		r, part := l.read(&call{ID: "1", Key: "a", At: row.at})
		if r.Gone != row.gone || len(part) != row.n || row.n > 0 && part[0] != q.sealed[row.at] {
			t.Errorf("from %d: %d bytes, gone %v, want %d, %v", row.at, len(part), r.Gone, row.n, row.gone)
		}
	}
}

// An answer comes in parts, each where the last ended: one that comes again, or
// out of its turn, or is too long, changes nothing. The last part gives it.
func TestPartsOfAnAnswer(t *testing.T) {
	l, _ := shelf()
	q := asked(l, "a")
	sought(l, "1", time.Time{})
	for _, row := range []struct {
		at   int64
		part string
		then int64
	}{{0, "abcd", 4}, {0, "abcd", 4}, {5, "f", 4}, {4, "efghijk", 4}, {4, "efghi", 9}, {9, "", 9}} {
		if r := l.write(&call{ID: "1", Key: "a", At: row.at, Size: 10}, []byte(row.part)); r.At != row.then || r.Gone || r.Refused != "" || len(q.given) > 0 {
			t.Errorf("%q at %d: %+v, want it to have come to %d", row.part, row.at, r, row.then)
		}
	}
	if r := l.write(&call{ID: "1", Key: "a", At: 9, Size: 10}, []byte("j")); r.At != 10 || len(q.given) != 1 {
		t.Fatalf("the last part: %+v, given %d", r, len(q.given))
	}
	if g := <-q.given; string(g.sealed) != "abcdefghij" || g.id != "1" || g.here || g.hopeless {
		t.Errorf("given %+v", g)
	}
	if q.holder != nil {
		t.Error("an answered job is still held")
	}
}

// Who says that an answer has no byte, or more than the job allows, is dropped
// and told why; it gets no job, and what it held goes to others.
func TestSizeOfAnAnswer(t *testing.T) {
	for size, want := range map[int64]string{
		0:  "island 0: an answer of 0 bytes, want at most 10",
		-3: "island 0: an answer of -3 bytes, want at most 10",
		11: "island 0: an answer of 11 bytes, want at most 10",
		1:  "", 10: "",
	} {
		l, said := shelf()
		q := asked(l, "a")
		sought(l, "1", time.Time{})
		r := l.write(&call{ID: "1", Key: "a", Size: size}, nil)
		if r.Refused != want || l.refusal("1") != want {
			t.Errorf("%d bytes: %+v, refused for %q, want %q", size, r, l.refusal("1"), want)
		}
		if want == "" {
			continue
		}
		if !slices.Equal(*said, []string{"worker worker 1 dropped: " + want}) || q.holder != nil || q.tries != 1 || len(l.queue) != 1 {
			t.Errorf("%d bytes: said %q, held %v, %d tries, %d in the queue", size, *said, q.holder, q.tries, len(l.queue))
		}
	}
}

// The word on a dropped worker is short, comes once, and says what was taken of
// it before.
func TestDroppedOnce(t *testing.T) {
	l, said := shelf()
	sought(l, "1", time.Time{})
	l.names["1"] = "north"
	l.credit("1")
	l.credit("1")
	l.drop("1", errors.New(strings.Repeat("x", 600)))
	l.drop("1", errors.New("again"))
	want := "worker north dropped: " + strings.Repeat("x", 500) + "; 2 answers of it were taken before, which passed their checks"
	if !slices.Equal(*said, []string{want}) || len(l.refusal("1")) != 500 || len(l.seekers) != 0 {
		t.Errorf("said %q, %d seekers", *said, len(l.seekers))
	}
}

// A job goes to another after the patience without a beat, and its worker is
// dropped after the job's bound, whatever its beats; what is flown here waits for
// none of both. Without an answer for so long, the wait is told once in so long.
func TestExpire(t *testing.T) {
	for _, row := range []struct {
		why          string
		since, heard time.Duration // ago
		here         bool
		lost, gone   bool
	}{
		{"fresh", 0, 0, false, false, false},
		{"at its patience", 6 * time.Second, usual.patience, false, false, false},
		{"beyond its patience", 6 * time.Second, usual.patience + 1, false, true, false},
		{"at its bound", time.Minute, 0, false, false, false},
		{"beyond its bound", time.Minute + 1, 0, false, true, true},
		{"here, for long", time.Hour, time.Hour, true, false, false},
	} {
		l, said := shelf()
		q := asked(l, "a")
		id := "1"
		if row.here {
			id = ""
		}
		sought(l, id, time.Time{})
		now := time.Now()
		q.holder.since, q.holder.heard = now.Add(-row.since), now.Add(-row.heard)
		l.progress = now
		l.expire(now, usual)
		if (q.holder == nil) != row.lost || l.lost[id] != row.lost || (l.refusal(id) != "") != row.gone || (len(*said) > 0) != row.gone {
			t.Errorf("%s: held %v, lost %v, refused %q, said %q", row.why, q.holder != nil, l.lost[id], l.refusal(id), *said)
		}
		if row.gone && l.refusal(id) != "island 0: no answer within 1m0s" {
			t.Errorf("%s: refused for %q", row.why, l.refusal(id))
		}
	}
	l, said := shelf()
	now := time.Now()
	if l.expire(now.Add(time.Hour), usual); len(*said) > 0 {
		t.Errorf("nothing waits, and %q is said", *said)
	}
	asked(l, "a")
	begun := l.silent
	for _, after := range []time.Duration{usual.quiet - 1, usual.quiet, 2*usual.quiet - 1, 2 * usual.quiet} {
		l.expire(begun.Add(after), usual)
	}
	want := []string{"no progress for 30 s: waiting for workers, 1 jobs are ready", "no progress for 60 s: waiting for workers, 1 jobs are ready"}
	if !slices.Equal(*said, want) {
		t.Errorf("said %q, want %q", *said, want)
	}
}

// What is waited for is named, four jobs at most, with where they are.
func TestWanted(t *testing.T) {
	l, _ := shelf()
	for i := range 6 {
		q := asked(l, string(rune('a'+i)))
		switch {
		case i == 0:
			sought(l, "", time.Time{})
		case i == 1:
			q.job = &Job{Stretch: &Stretch{Mode: sweep.GridMode, From: 5, To: 9}}
			sought(l, "1", time.Time{})
			q.holder = nil // its answer is looked at
		case i < 5:
			sought(l, "2", time.Time{})
		}
	}
	want := "designs 5 to 8, which is checked here, island 0 in this program, island 2 at worker worker 2, island 3 at worker worker 2, 1 more, a worker for 1 jobs"
	if got := l.wanted(); got != want {
		t.Errorf("waited for %q, want %q", got, want)
	}
	l.again(l.waiting["e"], "2")
	want = "designs 5 to 8, which is checked here, island 0 in this program, island 2 at worker worker 2, island 3 at worker worker 2, a worker for 2 jobs"
	if got := l.wanted(); got != want {
		t.Errorf("waited for %q, want %q", got, want)
	}
}
