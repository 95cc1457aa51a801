package fleet

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/sweep"
)

var same = Program{"1", "this machine"}

// demo returns the demo's brief, its problem and what its jobs have in common.
func demo(t testing.TB) (*brief.Brief, *optimize.Problem, Job) {
	t.Helper()
	path := "../../testdata/briefs/field-day.toml"
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b, err := brief.Parse(path, src)
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.Problem()
	if err != nil {
		t.Fatal(err)
	}
	return b, p, Job{Name: path, Source: src, Seed: b.Search.Seed}
}

// queue serves with a desk until the test ends.
func queue(t testing.TB) (*Server, *Desk) {
	t.Helper()
	root := t.TempDir()
	s, err := Serve(":0", "", nil, filepath.Join(root, "queue"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	d, err := s.Open(t.Context(), same, "run", root, func(text string) { t.Log(text) })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(d.Close)
	return s, d
}

// staff puts a worker at the queue until the test ends.
func staff(t testing.TB, s *Server, n int) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error)
	go func() { done <- s.Work(ctx, same, n, func(string) {}) }()
	t.Cleanup(func() {
		cancel()
		if err := <-done; !errors.Is(err, context.Canceled) {
			t.Errorf("Work = %v, want the end of its context", err)
		}
	})
}

var settings = optimize.Settings{Seed: 1, Islands: 3, Flights: 6000}

// search returns the outcome with the epochs flown by run.
func search(t testing.TB, p *optimize.Problem, run optimize.Runner) optimize.Outcome {
	t.Helper()
	out, err := optimize.Continue(t.Context(), p, settings, optimize.State{}, run, func(optimize.State) error { return nil })
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestDoubledAndShuffled sends every job twice, answers some out of the blue,
// and answers every job twice: the outcome is that of the search at home.
func TestDoubledAndShuffled(t *testing.T) {
	_, p, j := demo(t)
	s, d := queue(t)
	staff(t, s, 3)
	var mu sync.Mutex
	var old [][]byte
	doubled := func(ctx context.Context, j Job, accept func([]byte) error) error {
		j.Program, j.Run = same, "run"
		sealed, err := j.MarshalBinary()
		if err != nil {
			return err
		}
		if _, err := d.link.js.Publish(ctx, jobSubject(DefaultQueue, "run"), sealed); err != nil {
			return err
		}
		mu.Lock()
		for _, a := range old { // answers to jobs that are long done
			if _, err := d.link.js.Publish(ctx, answerSubject(DefaultQueue, "run"), a); err != nil {
				t.Error(err)
			}
		}
		mu.Unlock()
		return d.Ask(ctx, j, func(body []byte) error {
			again := Answer{Key: key(sealed), By: "echo", Body: slices.Clone(body)}
			sealed, err := again.MarshalBinary()
			if err != nil {
				return err
			}
			mu.Lock()
			old = append(old, sealed)
			mu.Unlock()
			if _, err := d.link.js.Publish(ctx, answerSubject(DefaultQueue, "run"), sealed); err != nil {
				return err
			}
			return accept(body)
		})
	}
	got := search(t, p, Epochs(doubled, j, p, settings))
	want := search(t, p, optimize.Local(p, settings, 2))
	if !reflect.DeepEqual(got, want) {
		t.Error("the outcome differs from that at home")
	}
}

// TestSweepElsewhere compares a tally and rows with those flown here.
func TestSweepElsewhere(t *testing.T) {
	b, p, j := demo(t)
	s, d := queue(t)
	staff(t, s, 2)
	plan, err := sweep.Grid(p.Variables)
	if err != nil {
		t.Fatal(err)
	}
	from, to := plan.Size/2, plan.Size/2+tallyAtATime+77
	here, there := sweep.Tally{Next: from}, sweep.Tally{Next: from}
	if !here.Advance(t.Context(), p, plan, to, 2) {
		t.Fatal(t.Context().Err())
	}
	flights := int64(0)
	j.Stretch = &Stretch{Mode: sweep.FrontMode}
	var mu sync.Mutex
	err = Advance(t.Context(), d.Ask, j, &there, p, to, func(n int64) { mu.Lock(); flights += n; mu.Unlock() })
	if err != nil {
		t.Fatal(err)
	}
	if flights != to-from || !reflect.DeepEqual(here, there) {
		t.Errorf("%d flights, tally %+v, want %d, %+v", flights, there, to-from, here)
	}

	keys := []string{"apogee", "margin", "deploy_speed"}
	j.Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 9000, Numbers: keys}
	drawn := sweep.Draws(p.Variables, 9000, j.Seed)
	fly, err := b.Keeper(keys)
	if err != nil {
		t.Fatal(err)
	}
	seen := make([]int, 9000)
	x := make([]float64, len(p.Variables))
	var want brief.Kept
	err = Rows(t.Context(), d.Ask, j, len(b.Limits), 0, 9000, func(i int64, k *brief.Kept) {
		mu.Lock()
		defer mu.Unlock()
		seen[i]++
		drawn.At(i, x)
		fly(x, &want)
		if !sameKept(k, &want) {
			t.Errorf("design %d: %+v, want %+v", i, *k, want)
		}
	})
	if err != nil || slices.Contains(seen, 0) || slices.Contains(seen, 2) {
		t.Errorf("Rows: %v, or some rows did not come once", err)
	}
}

func sameKept(a, b *brief.Kept) bool {
	return a.Outcome == b.Outcome && a.Feasible == b.Feasible && slices.Equal(a.Missed, b.Missed) &&
		slices.EqualFunc(a.Numbers, b.Numbers, func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) })
}

// TestSpoiltJob gives a job to workers that die of it, which is what a job that
// kills the program looks like.
func TestSpoiltJob(t *testing.T) {
	_, p, j := demo(t)
	s, d := queue(t)
	jobs, err := d.link.js.Consumer(t.Context(), jobStream(DefaultQueue), workers)
	if err != nil {
		t.Fatal(err)
	}
	failed := make(chan error)
	go func() {
		_, err := Epochs(d.Ask, j, p, settings)(t.Context(), optimize.Island{})
		failed <- err
	}()
	for range mostTries {
		m, err := jobs.Next(jetstream.FetchMaxWait(10 * time.Second))
		if err != nil {
			t.Fatal(err)
		}
		if err := m.Nak(); err != nil {
			t.Fatal(err)
		}
	}
	staff(t, s, 1)
	err = <-failed
	if err == nil || !strings.Contains(err.Error(), "island 0: worker ") || !strings.Contains(err.Error(), "delivered 5 times, no worker came to its end; the job is in ") {
		t.Fatalf("a job that nobody can fly: %v", err)
	}
	files, _ := filepath.Glob(filepath.Join(d.spoilt, "*.job"))
	if len(files) != 1 {
		t.Fatalf("files %v, want one", files)
	}
	if err := FlyFile(t.Context(), files[0], "", same); err != nil {
		t.Errorf("flown again: %v", err)
	}
	other := FlyFile(t.Context(), files[0], "", Program{"2", "this machine"})
	if other == nil || !strings.HasSuffix(other.Error(), "version 2, the jobs need 1: want the same program on all machines") {
		t.Errorf("flown by another version: %v", other)
	}
}

// TestBadAnswers answers what no worker writes: the job is given out again, in
// the end to somebody who knows.
func TestBadAnswers(t *testing.T) {
	_, p, j := demo(t)
	s, d := queue(t)
	jobs, err := d.link.js.Consumer(t.Context(), jobStream(DefaultQueue), workers)
	if err != nil {
		t.Fatal(err)
	}
	good := optimize.Local(p, settings, 1)
	want, err := good(t.Context(), optimize.Island{Index: 1})
	if err != nil {
		t.Fatal(err)
	}
	wire, _ := want.MarshalBinary()
	elsewhere := want
	elsewhere.Index = 2
	wrong, _ := elsewhere.MarshalBinary()
	answers := make(chan optimize.Island)
	failed := make(chan error, 1)
	go func() {
		isl, err := Epochs(d.Ask, j, p, settings)(t.Context(), optimize.Island{Index: 1})
		failed <- err
		answers <- isl
	}()
	for _, body := range [][]byte{nil, wire[:len(wire)-1], wrong} {
		m, err := jobs.Next(jetstream.FetchMaxWait(10 * time.Second))
		if err != nil {
			t.Fatal(err)
		}
		a := Answer{Key: key(m.Data()), By: "a stranger", Body: body}
		sealed, _ := a.MarshalBinary()
		for _, data := range [][]byte{[]byte("not an answer"), sealed[:len(sealed)/2], sealed} {
			if _, err := d.link.js.Publish(t.Context(), answerSubject(DefaultQueue, "run"), data); err != nil {
				t.Fatal(err)
			}
		}
		if err := m.Ack(); err != nil {
			t.Fatal(err)
		}
	}
	staff(t, s, 1)
	if err := <-failed; err != nil {
		t.Fatal(err)
	}
	got := <-answers
	if got, _ := got.MarshalBinary(); !slices.Equal(got, wire) {
		t.Error("another island than at home")
	}
}

// TestWorkerRights connects as a worker and tries what is not for it.
func TestWorkerRights(t *testing.T) {
	s, d := queue(t)
	id := worker()
	refused := make(chan error, 100)
	conn, err := nats.Connect(s.URL(), nats.Name(id), nats.CustomInboxPrefix(inbox(id)),
		nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) { refused <- err }))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	wantRefusal := func(what string) {
		t.Helper()
		if err := conn.Flush(); err != nil {
			t.Fatal(err)
		}
		select {
		case err := <-refused:
			if !errors.Is(err, nats.ErrPermissionViolation) {
				t.Errorf("%s: %v", what, err)
			}
		case <-time.After(5 * time.Second):
			t.Errorf("%s: allowed", what)
		}
	}
	for _, subject := range []string{">", jobSubject(DefaultQueue, ">"), answerSubject(DefaultQueue, ">"), "_INBOX_>", inbox(worker()) + ".>", "$JS.>", "$SYS.>"} {
		if _, err := conn.Subscribe(subject, func(*nats.Msg) {}); err != nil {
			t.Fatal(err)
		}
		wantRefusal("subscribe " + subject)
	}
	stream := jobStream(DefaultQueue)
	for _, subject := range []string{
		jobSubject(DefaultQueue, "run"), "$JS.API.STREAM.PURGE." + stream, "$JS.API.STREAM.DELETE." + stream, "$JS.API.STREAM.MSG.GET." + stream,
		"$JS.API.DIRECT.GET." + stream, "$JS.API.STREAM.CREATE.more", "$JS.API.STREAM.NAMES", "$JS.API.CONSUMER.CREATE." + answerStream(DefaultQueue),
		"$JS.API.CONSUMER.MSG.NEXT." + answerStream(DefaultQueue) + ".run", "$SYS.REQ.SERVER.PING", inbox(d.link.conn.Opts.Name) + ".x",
	} {
		if err := conn.Publish(subject, nil); err != nil {
			t.Fatal(err)
		}
		wantRefusal("publish " + subject)
	}
}

// TestWhoMayJoin tries the doors of a server with a token.
func TestWhoMayJoin(t *testing.T) {
	const token = "a-token-of-the-club"
	s, err := Serve("0.0.0.0:0", token, nil, filepath.Join(t.TempDir(), "queue"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	d, err := s.Open(t.Context(), same, "run", t.TempDir(), func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	quiet := func(string) {}
	for _, c := range []struct {
		why, want string
		at        Place
		program   Program
	}{
		{"no token", "Authorization Violation", Place{URL: s.URL()}, same},
		{"another token", "Authorization Violation", Place{URL: s.URL(), Token: "a-token-of-others"}, same},
		{"another version", "worker: version 2, the jobs need 1: want the same program on all machines", Place{URL: s.URL(), Token: token}, Program{"2", "this machine"}},
		{"another machine", "worker: a toaster, the jobs need this machine: numbers could differ in their last bits", Place{URL: s.URL(), Token: token}, Program{"1", "a toaster"}},
		{"a bad queue", `queue "a.b": want a name without`, Place{URL: s.URL(), Token: token, Queue: "a.b"}, same},
	} {
		err := Work(t.Context(), c.at, c.program, 1, quiet)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.why, err, c.want)
		}
	}
	for _, name := range []string{"", "short", "_INBOX.x.y", "w*w*w*w*", "all of them >"} {
		if c, err := nats.Connect(s.URL(), nats.Token(token), nats.Name(name)); err == nil {
			c.Close()
			t.Errorf("a client called %q came in", name)
		}
	}
	if _, err := Open(t.Context(), Place{URL: s.URL(), Token: token}, same, "other", t.TempDir(), quiet); err == nil {
		t.Error("a worker's token opened a desk")
	}
}

func TestServeRefuses(t *testing.T) {
	s, _ := queue(t)
	taken := strings.TrimPrefix(s.URL(), "nats://")
	for _, c := range []struct{ addr, want string }{
		{"4222", `address "4222": want host:port or :port`},
		{":x", `address ":x": want a port of 1 to 65535`},
		{"0.0.0.0:0", `address "0.0.0.0:0": other machines reach it, want a token`},
		{"192.0.2.7:4222", `address "192.0.2.7:4222": other machines reach it, want a token`},
		{"example.invalid:4222", `address "example.invalid:4222": other machines reach it, want a token`},
		{taken, `address "` + taken + `": `},
	} {
		store := filepath.Join(t.TempDir(), "queue")
		_, err := Serve(c.addr, "", nil, store)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("Serve(%q) = %v, want %s", c.addr, err, c.want)
		}
		if _, err := os.Stat(store); err == nil {
			t.Errorf("Serve(%q) left its store", c.addr)
		}
	}
}

// TestLostJobs empties the queue behind the desk's back.
func TestLostJobs(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: two looks at the queue take 10 s of waiting; go test ./... waits")
	}
	_, p, j := demo(t)
	s, d := queue(t)
	done := make(chan error)
	go func() {
		_, err := Epochs(d.Ask, j, p, settings)(t.Context(), optimize.Island{})
		done <- err
	}()
	stream, err := d.link.js.Stream(t.Context(), jobStream(DefaultQueue))
	if err != nil {
		t.Fatal(err)
	}
	for n := uint64(0); n == 0; time.Sleep(10 * time.Millisecond) {
		info, err := stream.Info(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		n = info.State.Msgs
	}
	if err := stream.Purge(t.Context()); err != nil {
		t.Fatal(err)
	}
	staff(t, s, 1)
	select {
	case err := <-done:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * patience):
		t.Error("the job was not sent again")
	}
}

// TestDamage flips every bit and cuts at every length: nothing of it is taken
// for a job or an answer.
func TestDamage(t *testing.T) {
	job := Job{Program: same, Run: "run", Name: "x.toml", Source: []byte("title = 'x'"), Epoch: &Epoch{Island: []byte("isl")}}
	job.Epoch.Settings.Algorithm = optimize.Default
	answer := Answer{Key: "k", By: "w", Body: []byte("body")}
	for _, v := range []interface {
		MarshalBinary() ([]byte, error)
		UnmarshalBinary([]byte) error
	}{&job, &answer} {
		whole, err := v.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if err := v.UnmarshalBinary(whole); err != nil {
			t.Fatal(err)
		}
		for n := range whole {
			if err := v.UnmarshalBinary(whole[:n]); !errors.Is(err, ErrDamaged) {
				t.Fatalf("%T cut to %d bytes: %v", v, n, err)
			}
		}
		for bit := range 8 * len(whole) {
			bad := slices.Clone(whole)
			bad[bit/8] ^= 1 << (bit % 8)
			if err := v.UnmarshalBinary(bad); !errors.Is(err, ErrDamaged) {
				t.Fatalf("%T with bit %d flipped: %v", v, bit, err)
			}
		}
	}
}

func FuzzJob(f *testing.F) {
	job := Job{Program: same, Run: "run", Name: "x.toml", Source: []byte("title = 'x'"), Stretch: &Stretch{Mode: "grid", To: 5, Numbers: []string{"apogee"}}}
	sealed, err := job.MarshalBinary()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(sealed)
	f.Fuzz(func(t *testing.T, data []byte) {
		var j Job
		if j.UnmarshalBinary(data) != nil {
			// Past the checksum, which no fuzzer guesses.
			head, body := data, []byte(nil)
			var raw rawHead
			if raw.UnmarshalJSON(head) != nil {
				return
			}
			var err error
			if data, err = seal(jobKind, raw, body); err != nil || j.UnmarshalBinary(data) != nil {
				return
			}
		}
		if j.Stretch != nil && j.Stretch.To-j.Stretch.From > 100 {
			return
		}
		var pilot Pilot
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		_, _ = pilot.Fly(ctx, &j)
	})
}

// rawHead is a head as it is.
type rawHead []byte

func (r *rawHead) UnmarshalJSON(data []byte) error {
	*r = data
	return nil
}

func (r rawHead) MarshalJSON() ([]byte, error) { return r, nil }

func FuzzRows(f *testing.F) {
	var w rowWriter
	w.add(&brief.Kept{Numbers: []float64{1, math.NaN()}, Missed: []bool{true}, Outcome: model.Landed.String()})
	w.add(&brief.Kept{Numbers: []float64{0, 2}, Missed: []bool{false}, Outcome: brief.Panicked})
	f.Add(w.bytes, 2)
	f.Fuzz(func(t *testing.T, data []byte, n int) {
		if n < 0 || n > 1000 {
			return
		}
		var again rowWriter
		if EachRow(data, n, 1, 2, func(_ int, k *brief.Kept) { again.add(k) }) == nil && !slices.Equal(again.bytes, data) {
			t.Errorf("rows %x written again are %x", data, again.bytes)
		}
	})
}

// TestOutcomes holds that every outcome of the model has its byte.
func TestOutcomes(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("the model has outcomes beyond those that rows can carry")
		}
	}()
	_ = model.Outcome(len(outcomes)).String()
}

// TestTallyChecks changes one thing at a time in a good tally.
func TestTallyChecks(t *testing.T) {
	p := &optimize.Problem{Goals: 2, Limits: 1}
	good := func() sweep.Tally {
		return sweep.Tally{
			Next: 20, Feasible: 3, Failed: 1, Missed: []int64{2}, Worst: []float64{1, 2},
			Front: []sweep.Member{{Number: 12, Goals: []float64{0, 1}}},
		}
	}
	ok := good()
	if err := checkTally(&ok, p, 10, 20); err != nil {
		t.Fatal(err)
	}
	for i, spoil := range []func(*sweep.Tally){
		func(t *sweep.Tally) { t.Next = 21 },
		func(t *sweep.Tally) { t.Feasible = -1 },
		func(t *sweep.Tally) { t.Feasible = 10 },
		func(t *sweep.Tally) { t.Feasible = 0 },
		func(t *sweep.Tally) { t.Missed = nil },
		func(t *sweep.Tally) { t.Missed[0] = 11 },
		func(t *sweep.Tally) { t.Worst = t.Worst[:1] },
		func(t *sweep.Tally) { t.Front[0].Number = 9 },
		func(t *sweep.Tally) { t.Front[0].Number = 20 },
		func(t *sweep.Tally) { t.Front[0].Goals = nil },
		func(t *sweep.Tally) { t.Front = slices.Repeat(t.Front, 4) },
		func(t *sweep.Tally) { t.Nearest = []sweep.Member{{Number: rand.Int64N(10)}} },
	} {
		bad := good()
		spoil(&bad)
		if checkTally(&bad, p, 10, 20) == nil {
			t.Errorf("spoilt tally %d is taken for good: %+v", i, bad)
		}
	}
}
