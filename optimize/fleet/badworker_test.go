package fleet

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ullage/optimize"
	"ullage/optimize/sweep"
)

// hasty is a pace for tests that wait for a desk to lose patience.
var hasty = pace{patience: 200 * time.Millisecond, grace: time.Hour, quiet: time.Hour}

func hurried(t testing.TB, p pace) (*Desk, *sayings) {
	t.Helper()
	var s sayings
	return serves(t, Run{Program: same, Name: "run", Folder: t.TempDir(), Write: writeFile, Say: s.say}, p), &s
}

// TestLiars answers a job with what does not come out of it. The worker is
// dropped and named, and another's answer is taken.
func TestLiars(t *testing.T) {
	_, p, j := demo(t)
	honest, err := optimize.Local(p, settings, 1)(t.Context(), optimize.Island{Index: 1})
	if err != nil {
		t.Fatal(err)
	}
	island := func(change func(isl *optimize.Island)) func() []byte {
		return func() []byte {
			data, _ := honest.MarshalBinary()
			var lie optimize.Island
			if err := lie.UnmarshalBinary(data); err != nil {
				t.Fatal(err)
			}
			change(&lie)
			data, _ = lie.MarshalBinary()
			return data
		}
	}
	for _, c := range []struct {
		why, want string
		body      func() []byte
	}{
		{"nothing", "island: damaged", func() []byte { return nil }},
		{"half an island", "island: damaged", func() []byte { b := island(func(*optimize.Island) {})(); return b[:len(b)/2] }},
		{"another island", "index 2, want 1", island(func(isl *optimize.Island) { isl.Index = 2 })},
		{"a made-up goal", "design [", island(func(isl *optimize.Island) { isl.Archive.Goals[0] -= 1000 })},
		{"a made-up slack", "design [", island(func(isl *optimize.Island) { isl.Archive.Slack[0]++ })},
		{"another design", "design [", island(func(isl *optimize.Island) { isl.Archive.Genes[0] = 0 })},
		{"no flights", "0 flights after 0", island(func(isl *optimize.Island) { isl.Flights = 0 })},
		{"all the flights", "2000 flights after 0", island(func(isl *optimize.Island) { isl.Flights = 2000 })},
		{"an end too soon", errOther.Error(), island(func(isl *optimize.Island) { isl.Exhausted = true })},
		{"an empty archive", errOther.Error(), island(func(isl *optimize.Island) { isl.Archive, isl.Blocks = optimize.Rows{}, nil })},
		{"other credits", errOther.Error(), island(func(isl *optimize.Island) { isl.Credits[0]++ })},
	} {
		t.Run(c.why, func(t *testing.T) {
			d, said := queue(t)
			done := asks(t, d, j, 1)
			liar := newPuppet(t, d)
			_, key := liar.take()
			if err := liar.give(answer{Key: key, Body: c.body()}); err != nil {
				t.Fatal(err)
			}
			staff(t, d, 1)
			ends(t, done)
			if !strings.HasPrefix(said.all(), "worker puppet dropped: island 1: ") || !strings.Contains(said.all(), c.want) {
				t.Errorf("said %q, want that the puppet was dropped: %s", said.all(), c.want)
			}
			if _, _, err := liar.ask(t.Context(), call{Do: takeJob}, nil, time.Second); err == nil || !strings.Contains(err.Error(), "refused by "+liar.link.url) {
				t.Errorf("asked for more: %v, want a refusal", err)
			}
		})
	}
}

// TestLateLiar lies after a good answer: what enters the front is flown again
// whoever sends it, and what was taken before is told.
func TestLateLiar(t *testing.T) {
	_, _, j := demo(t)
	d, said := queue(t)
	liar := newPuppet(t, d)
	var f flier
	done := asks(t, d, j, 0)
	good, key := liar.take()
	body, err := f.fly(t.Context(), &good)
	if err != nil {
		t.Fatal(err)
	}
	if err := liar.give(answer{Key: key, Body: body}); err != nil {
		t.Fatal(err)
	}
	ends(t, done)
	done = asks(t, d, j, 2)
	other, key := liar.take()
	if body, err = f.fly(t.Context(), &other); err != nil {
		t.Fatal(err)
	}
	var isl optimize.Island
	if err := isl.UnmarshalBinary(body); err != nil {
		t.Fatal(err)
	}
	isl.Archive.Goals[0]--
	body, _ = isl.MarshalBinary()
	if err := liar.give(answer{Key: key, Body: body}); err != nil {
		t.Fatal(err)
	}
	staff(t, d, 1)
	ends(t, done)
	if !strings.Contains(said.all(), "; 1 answers of it were taken before") {
		t.Errorf("said %q, want how many answers were taken", said.all())
	}
}

// TestFlawOfOne says that a job cannot be flown, which is not so.
func TestFlawOfOne(t *testing.T) {
	_, _, j := demo(t)
	d, said := queue(t)
	done := asks(t, d, j, 0)
	liar := newPuppet(t, d)
	_, key := liar.take()
	if err := liar.give(answer{Key: key, Flaw: "no such wind"}); err != nil {
		t.Fatal(err)
	}
	ends(t, done)
	for deadline := time.Now().Add(5 * time.Second); said.all() == "" && time.Now().Before(deadline); {
		time.Sleep(time.Millisecond)
	}
	if want := "worker puppet dropped: island 0: cannot fly what is flown here: no such wind"; said.all() != want {
		t.Errorf("said %q, want %q", said.all(), want)
	}
	if files, _ := os.ReadDir(d.run.Folder); len(files) > 0 {
		t.Errorf("%d files are kept of a good job", len(files))
	}
}

// TestSweepLiars changes one thing in the answers to two stretches.
func TestSweepLiars(t *testing.T) {
	_, p, j := demo(t)
	var f flier
	plan, err := sweep.Grid(p.Variables)
	if err != nil {
		t.Fatal(err)
	}
	from := plan.Size / 97 * 73 // where some designs are feasible
	j.Stretch = &Stretch{Mode: sweep.FrontMode, From: from, To: from + 3000}
	body, err := f.fly(t.Context(), &j)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.inspect(t.Context(), &j, body, true); err != nil {
		t.Errorf("an honest tally: %v", err)
	}
	for why, change := range map[string]func(t *sweep.Tally){
		"a made-up goal":   func(t *sweep.Tally) { t.Front[0].Goals[0] -= 1000 },
		"a made-up slack":  func(t *sweep.Tally) { t.Front[0].Slack++ },
		"another design":   func(t *sweep.Tally) { t.Front[0].Number = j.Stretch.From },
		"one that misses":  func(t *sweep.Tally) { t.Nearest = t.Front[:1] },
		"too many counted": func(t *sweep.Tally) { t.Feasible = 3001 },
	} {
		var lie sweep.Tally
		if err := json.Unmarshal(body, &lie); err != nil {
			t.Fatal(err)
		}
		change(&lie)
		data, err := json.Marshal(lie)
		if err != nil {
			t.Fatal(err)
		}
		if err := f.inspect(t.Context(), &j, data, false); err == nil || errors.Is(err, errOther) {
			t.Errorf("%s: %v, want it found in the members", why, err)
		}
	}

	j.Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 2000, To: 1000, Numbers: []string{"apogee"}}
	if body, err = f.fly(t.Context(), &j); err != nil {
		t.Fatal(err)
	}
	if err := f.inspect(t.Context(), &j, body, true); err != nil {
		t.Errorf("honest rows: %v", err)
	}
	// One row in sixteen is flown again: of 1000 false ones all are missed with a
	// chance of 1e-28.
	width := len(body) / 1000
	all := bytes.Clone(body)
	for i := range 1000 {
		all[i*width+width-8] ^= 1 // the last bit of the apogee
	}
	if err := f.inspect(t.Context(), &j, all, false); err == nil || !strings.HasPrefix(err.Error(), "design ") {
		t.Errorf("every row false: %v, want a design that is flown otherwise", err)
	}
	one := bytes.Clone(body)
	one[width-8] ^= 1
	if err := f.inspect(t.Context(), &j, one, true); err == nil {
		t.Error("a false row passed where all are flown again")
	}
}

// TestSilentWorkers gives a job to workers that never come to an end with it,
// which is what a job that kills the program looks like: in the end it is flown
// here, and kept while that lasts.
func TestSilentWorkers(t *testing.T) {
	_, _, j := demo(t)
	d, said := hurried(t, hasty)
	kept := 0
	write := d.run.Write
	d.run.Write = func(path string, data []byte) error {
		kept++
		return write(path, data)
	}
	done := asks(t, d, j, 0)
	for range mostTries {
		newPuppet(t, d).take()
	}
	ends(t, done)
	if want := "island 0: given out 5 times, no worker came to its end: flown here"; said.all() != want {
		t.Errorf("said %q, want %q", said.all(), want)
	}
	if files, _ := filepath.Glob(filepath.Join(d.run.Folder, "*")); kept != 1 || len(files) > 0 {
		t.Errorf("kept %d times, files %v left, want once and none", kept, files)
	}
}

// TestAnotherFirst gives a job that one came to no end with to another worker,
// though the first asks again at once; but to the first if there is no other.
func TestAnotherFirst(t *testing.T) {
	_, _, j := demo(t)
	d, _ := hurried(t, hasty)
	done := asks(t, d, j, 0)
	slow := newPuppet(t, d)
	_, key := slow.take()
	lost := time.Now()
	_, again := slow.take()
	if again != key || time.Since(lost) < hasty.patience*3/2 {
		t.Errorf("given to the same worker after %v, want after %v", time.Since(lost), hasty.patience*3/2)
	}
	staff(t, d, 1)
	ends(t, done)
}

// TestHeldWithBeats holds a job for longer than its bound, and beats all the
// while.
func TestHeldWithBeats(t *testing.T) {
	_, _, j := demo(t)
	j.Leg = &Leg{Settings: settings}
	size, err := new(flier).size(&j)
	if err != nil {
		t.Fatal(err)
	}
	grace := time.Second - pace{}.bound(size.flights, size.bytes) // which leaves about a second
	d, said := hurried(t, pace{patience: 500 * time.Millisecond, grace: grace, quiet: time.Hour})
	done := asks(t, d, j, 0)
	holding := newPuppet(t, d)
	_, key := holding.take()
	stop := make(chan struct{})
	defer close(stop)
	go func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(100 * time.Millisecond):
				_ = holding.tell(call{Do: beat, Key: key})
			}
		}
	}()
	d.Staff(1)
	ends(t, done)
	if !strings.HasPrefix(said.all(), "worker puppet dropped: island 0: no answer within ") {
		t.Errorf("said %q, want that the puppet is dropped", said.all())
	}
}

// TestBound holds how long is waited for what, and how long a worker may take: 100
// times what a core does, a line of a quarter of a megabit, and a minute.
func TestBound(t *testing.T) {
	if want := (pace{5 * time.Second, time.Minute, 30 * time.Second}); usual != want {
		t.Errorf("usual pace %v, want %v", usual, want)
	}
	for _, c := range []struct {
		flights, bytes int64
		want           time.Duration
	}{{0, 0, time.Minute}, {1000, 0, 64 * time.Second}, {0, 320 << 10, 70 * time.Second}, {200_000, 0, time.Minute + 800*time.Second}} {
		if got := usual.bound(c.flights, c.bytes); got != c.want {
			t.Errorf("bound(%d, %d) = %v, want %v", c.flights, c.bytes, got, c.want)
		}
	}
}

// TestNoProgress lets time go by without an answer.
func TestNoProgress(t *testing.T) {
	_, _, j := demo(t)
	d, said := hurried(t, pace{patience: 250 * time.Millisecond, grace: time.Hour, quiet: 500 * time.Millisecond})
	saying := func(want string) {
		t.Helper()
		for deadline := time.Now().Add(10 * time.Second); !strings.Contains(said.all(), want); time.Sleep(10 * time.Millisecond) {
			if time.Now().After(deadline) {
				t.Fatalf("said %q, want %q", said.all(), want)
			}
		}
	}
	first, second := asks(t, d, j, 0), asks(t, d, j, 1)
	saying("waiting for workers, 2 jobs are ready")
	holding := newPuppet(t, d)
	held, key := holding.take()
	stop := make(chan struct{})
	go func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(50 * time.Millisecond):
				_ = holding.tell(call{Do: beat, Key: key})
			}
		}
	}()
	saying(fmt.Sprintf("waiting for %v at worker puppet, a worker for 1 jobs", &held))
	close(stop)
	if !strings.HasPrefix(said.all(), "no progress for ") {
		t.Errorf("said %q", said.all())
	}
	d.Staff(1)
	ends(t, first)
	ends(t, second)
}

// TestFlood asks for jobs a thousand times at once and comes to an end with
// none: another worker gets them, and those that the first holds after it.
func TestFlood(t *testing.T) {
	_, _, j := demo(t)
	d, _ := hurried(t, hasty)
	hog := newPuppet(t, d)
	for range 1000 {
		if err := hog.link.conn.PublishRequest(desk(DefaultQueue), inbox(hog.link.id)+".x", pack(call{Do: takeJob, ID: hog.link.id, Name: "hog", Program: same}, nil)); err != nil {
			t.Fatal(err)
		}
	}
	if err := hog.link.conn.Flush(); err != nil {
		t.Fatal(err)
	}
	if _, _, err := hog.ask(t.Context(), call{Do: readPart, Key: "none"}, nil, 5*time.Second); err != nil { // behind all of them
		t.Fatal(err)
	}
	d.jobs.locked(func() {
		if n := len(d.jobs.seekers); n > mostSeekers {
			t.Errorf("%d wait for a job, want at most %d", n, mostSeekers)
		}
	})
	staff(t, d, 1)
	for index := range 3 {
		ends(t, asks(t, d, j, index))
	}
}

// TestInspectEnds has answers looked at while nobody wants them any more.
func TestInspectEnds(t *testing.T) {
	_, p, j := demo(t)
	plan, err := sweep.Grid(p.Variables)
	if err != nil {
		t.Fatal(err)
	}
	from := plan.Size / 97 * 73
	leg := &Leg{Settings: settings}
	leg.Settings.Algorithm = optimize.Default
	leg.Island, _ = (&optimize.Island{}).MarshalBinary()
	ended, end := context.WithCancel(t.Context())
	end()
	var f flier
	for what, job := range map[string]Job{
		"an island": {Leg: leg},
		"a tally":   {Stretch: &Stretch{Mode: sweep.FrontMode, From: from, To: from + 3000}},
		"rows":      {Stretch: &Stretch{Mode: sweep.DrawsMode, Size: 2000, To: 1000, Numbers: []string{"apogee"}}},
	} {
		job.Name, job.Source, job.Seed = j.Name, j.Source, j.Seed
		body, err := f.fly(t.Context(), &job)
		if err != nil {
			t.Fatal(err)
		}
		if err := f.inspect(ended, &job, body, false); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v, want the end of the context", what, err)
		}
		if body, err := f.fly(ended, &job); !errors.Is(err, context.Canceled) || body != nil {
			t.Errorf("%s: flown to %d bytes, %v, want the end of the context", what, len(body), err)
		}
	}
}

// TestTooMuch answers more than can come of a job: it is not kept in memory.
func TestTooMuch(t *testing.T) {
	_, _, j := demo(t)
	d, said := queue(t)
	done := asks(t, d, j, 0)
	greedy := newPuppet(t, d)
	_, key := greedy.take()
	_, _, err := greedy.ask(t.Context(), call{Do: writePart, Key: key, Size: math.MaxInt64}, []byte("and so on"), time.Second)
	if err == nil || !strings.Contains(err.Error(), "bytes, want at most ") {
		t.Errorf("an answer without end: %v", err)
	}
	staff(t, d, 1)
	ends(t, done)
	if !strings.HasPrefix(said.all(), "worker puppet dropped: island 0: an answer of 9223372036854775807 bytes, want at most ") {
		t.Errorf("said %q", said.all())
	}
}
