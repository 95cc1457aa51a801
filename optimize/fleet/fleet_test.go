package fleet

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
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
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, p, Job{Name: path, Source: src, Seed: b.Search.Seed}
}

// writeFile writes a file whole, as Run.Write must.
func writeFile(path string, data []byte) error {
	if err := os.WriteFile(path+".part", data, 0o666); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}

// A sayings collects what a desk says.
type sayings struct {
	mu   sync.Mutex
	text []string
}

func (s *sayings) say(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.text = append(s.text, text)
}

func (s *sayings) all() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.Join(s.text, "\n")
}

// serves opens a desk for the run, at a server of its own, until the test ends.
func serves(t testing.TB, r Run, p pace) *Desk {
	t.Helper()
	h, err := newHost(":0", "", nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := dial(t.Context(), Place{}, false, r.Say, h.options()...)
	if err != nil {
		t.Fatal(err)
	}
	d, err := r.open(h, l, p)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(d.Close)
	return d
}

// queue serves with a desk until the test ends.
func queue(t testing.TB) (*Desk, *sayings) {
	t.Helper()
	var s sayings
	return serves(t, Run{Program: same, Name: "run", Folder: t.TempDir(), Write: writeFile, Say: s.say}, usual), &s
}

// staff puts a worker at the desk until the test ends.
func staff(t testing.TB, d *Desk, n int) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error)
	go func() { done <- Work(ctx, Place{URL: d.URL()}, same, n, func(string) {}) }()
	t.Cleanup(func() {
		cancel()
		if err := <-done; !errors.Is(err, context.Canceled) {
			t.Errorf("Work = %v, want the end of its context", err)
		}
	})
}

// A puppet is a worker that does what a test wants.
type puppet struct {
	*crew
	t    testing.TB
	pace pace
}

func newPuppet(t testing.TB, d *Desk) *puppet {
	t.Helper()
	l, err := dial(t.Context(), Place{URL: d.URL()}, false, func(text string) { t.Log(text) })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(l.conn.Close)
	return &puppet{&crew{link: l, program: same, name: "puppet"}, t, d.pace}
}

// take waits for a job and fetches it.
func (p *puppet) take() (Job, string) {
	p.t.Helper()
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); {
		r, _, err := p.ask(p.t.Context(), call{Do: takeJob}, nil, p.pace.patience)
		if errors.Is(err, context.DeadlineExceeded) || err == nil && r.Key == "" {
			continue
		}
		if err != nil {
			p.t.Fatal(err)
		}
		sealed, err := p.fetch(p.t.Context(), &r)
		if err != nil {
			p.t.Fatal(err)
		}
		var j Job
		if err := j.UnmarshalBinary(sealed); err != nil {
			p.t.Fatal(err)
		}
		return j, r.Key
	}
	p.t.Fatal("no job in 20 s")
	return Job{}, ""
}

// give sends an answer, sealed as it should be.
func (p *puppet) give(a answer) error {
	p.t.Helper()
	sealed, err := a.marshal()
	if err != nil {
		p.t.Fatal(err)
	}
	return p.send(p.t.Context(), a.Key, sealed)
}

var settings = optimize.Settings{Seed: 1, Islands: 3, Population: 40, Flights: 6000}

// search returns the outcome with the epochs flown by run. One that stands still
// is a fault, not a wait.
func search(t testing.TB, p *optimize.Problem, run optimize.Runner) optimize.Outcome {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	out, err := optimize.Continue(ctx, p, settings, optimize.State{}, run, func(optimize.State) error { return nil })
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// asks has the first epoch of an island flown, and returns where its end comes.
func asks(t testing.TB, d *Desk, j Job, index int) <-chan error {
	done := make(chan error, 1)
	_, p, _ := demo(t)
	want, err := optimize.Local(p, settings, 2)(t.Context(), optimize.Island{Index: index})
	if err != nil {
		t.Fatal(err)
	}
	home, _ := want.MarshalBinary()
	go func() {
		got, err := Epochs(d.Ask, j, settings)(t.Context(), optimize.Island{Index: index})
		if away, _ := got.MarshalBinary(); err == nil && !slices.Equal(away, home) {
			err = errors.New("another island than at home")
		}
		done <- err
	}()
	return done
}

// ends waits for the end of what asks began.
func ends(t testing.TB, done <-chan error) {
	t.Helper()
	select {
	case err := <-done:
		if err != nil {
			t.Fatal(err)
		}
	case <-time.After(30 * time.Second):
		t.Fatal("no answer in 30 s")
	}
}

// TestDoubledAndDropped searches while workers answer twice, answer jobs that are
// not theirs or long done, stop in the middle of a part and leave: the outcome is
// that of the search at home.
func TestDoubledAndDropped(t *testing.T) {
	_, p, j := demo(t)
	d, _ := queue(t)
	staff(t, d, 2)
	odd := newPuppet(t, d)
	ctx, cancel := context.WithCancel(t.Context())
	over := make(chan struct{})
	go func() {
		defer close(over)
		var old [][]byte
		for turn := 0; ctx.Err() == nil; turn++ {
			r, _, err := odd.ask(ctx, call{Do: takeJob}, nil, d.pace.patience)
			if err != nil || r.Key == "" {
				continue
			}
			for _, a := range old { // to jobs that are long done
				_ = odd.send(ctx, r.Key, a)
			}
			sealed, err := odd.fetch(ctx, &r)
			var j Job
			if err != nil || j.UnmarshalBinary(sealed) != nil {
				continue
			}
			var f flier
			body, err := f.fly(ctx, &j)
			if err != nil {
				continue
			}
			a := answer{Key: r.Key, Body: body}
			if sealed, err = a.marshal(); err != nil {
				t.Error(err)
			}
			size := int64(len(sealed))
			part := sealed[:size/2]
			_, _, _ = odd.ask(ctx, call{Do: writePart, Key: r.Key, Size: size}, part, time.Second)
			_, _, _ = odd.ask(ctx, call{Do: writePart, Key: r.Key, Size: size}, part, time.Second)               // once more
			_, _, _ = odd.ask(ctx, call{Do: writePart, Key: r.Key, At: size - 1, Size: size}, part, time.Second) // with a gap
			if turn%3 == 1 {
				_ = odd.tell(call{Do: leave})
				continue
			}
			_ = odd.send(ctx, r.Key, sealed)
			_ = odd.send(ctx, r.Key, sealed)
			old = append(old, sealed)
		}
	}()
	got := search(t, p, Epochs(d.Ask, j, settings))
	cancel()
	<-over
	if want := search(t, p, optimize.Local(p, settings, 2)); !reflect.DeepEqual(got, want) {
		t.Error("the outcome differs from that at home")
	}
}

// TestRobustElsewhere has a robust search flown by workers: what it keeps and what
// is proved of it is what is found at home, and a worker that makes up a design to
// keep is dropped.
func TestRobustElsewhere(t *testing.T) {
	_, _, j := demo(t)
	j.Set = []string{"search.robust.draws=60", "search.flights=9000"}
	b, err := brief.Parse(j.Name, j.Source, j.Set...)
	if err != nil {
		t.Fatal(err)
	}
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	d, said := queue(t)
	var first []optimize.Island // of which not every one keeps a design
	for i := range settings.Islands {
		isl, err := optimize.Local(p, settings, 2)(t.Context(), optimize.Island{Index: i})
		if err != nil {
			t.Fatal(err)
		}
		first = append(first, isl)
	}
	liar := newPuppet(t, d)
	lied := make(chan error, 1)
	go func() {
		// It holds what it cannot lie about until it is dropped.
		job, key := liar.take()
		for first[job.Leg.Index].Kept.Len() == 0 {
			job, key = liar.take()
		}
		isl := first[job.Leg.Index]
		isl.Kept.Goals = slices.Clone(isl.Kept.Goals)
		isl.Kept.Goals[0]--
		body, _ := isl.MarshalBinary()
		lied <- liar.give(answer{Key: key, Body: body})
		staff(t, d, 2)
		close(lied)
	}()
	got := search(t, p, Epochs(d.Ask, j, settings))
	if err := <-lied; err != nil {
		t.Error(err)
	}
	<-lied
	if !strings.Contains(said.all(), "worker puppet dropped") || !strings.Contains(said.all(), "design [") {
		t.Errorf("said %q, want that the puppet was dropped", said.all())
	}
	want := search(t, p, optimize.Local(p, settings, 2))
	if !reflect.DeepEqual(got, want) || len(got.Kept) == 0 {
		t.Errorf("%d designs kept, at home %d; want the same", len(got.Kept), len(want.Kept))
	}
	one, two := study.Prove(t.Context(), b, &got, 1), study.Prove(t.Context(), b, &want, 2)
	if !reflect.DeepEqual(one.Count, two.Count) || len(one.Designs) == 0 || len(one.Designs) != len(two.Designs) {
		t.Errorf("proved %+v of the fleet's, %+v of those at home; want the same", one.Count, two.Count)
	}
}

// TestStaff searches with workers in the program alone.
func TestStaff(t *testing.T) {
	_, p, j := demo(t)
	d, said := queue(t)
	d.Staff(2)
	got := search(t, p, Epochs(d.Ask, j, settings))
	if want := search(t, p, optimize.Local(p, settings, 2)); !reflect.DeepEqual(got, want) {
		t.Error("the outcome differs from that at home")
	}
	if said.all() != "" {
		t.Errorf("said %q, want nothing", said.all())
	}
}

// TestSweepElsewhere compares a tally and rows with those flown here.
func TestSweepElsewhere(t *testing.T) {
	b, p, j := demo(t)
	d, _ := queue(t)
	staff(t, d, 2)
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
	fly, err := study.Keeper(b, keys)
	if err != nil {
		t.Fatal(err)
	}
	seen := make([]int, 9000)
	x := make([]float64, len(p.Variables))
	var want study.Kept
	err = Rows(t.Context(), d.Ask, j, len(b.Limits), 0, 9000, func(i int64, k *study.Kept) {
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

// TestSpoiltJob asks for what nobody can fly: it is flown here before a worker
// is believed, and kept.
func TestSpoiltJob(t *testing.T) {
	_, _, j := demo(t)
	for _, here := range []bool{true, false} {
		d, _ := queue(t)
		if here {
			d.Staff(1)
		} else {
			staff(t, d, 1)
		}
		j.Leg = &Leg{Settings: settings, Island: []byte("not an island")}
		j.Leg.Settings.Algorithm = optimize.Default
		err := d.Ask(t.Context(), j, func([]byte) error { return errors.New("an answer") })
		if err == nil || !strings.HasPrefix(err.Error(), "island 0: island: damaged: ") || !strings.Contains(err.Error(), "; the job is in ") {
			t.Fatalf("a job that nobody can fly: %v", err)
		}
		files, _ := filepath.Glob(filepath.Join(d.run.Folder, "spoilt-*.job"))
		if len(files) != 1 {
			t.Fatalf("files %v, want one", files)
		}
		sealed, err := FlyFile(t.Context(), files[0], same)
		var a answer
		if err == nil || a.unmarshal(sealed) != nil || a.Flaw == "" || len(a.Body) > 0 {
			t.Errorf("flown again: %v, answer %+v, want a flaw in both", err, a)
		}
		_, other := FlyFile(t.Context(), files[0], Program{"2", "this machine"})
		if other == nil || !strings.HasSuffix(other.Error(), "version 2, the jobs need 1: want the same program on all machines") {
			t.Errorf("flown by another version: %v", other)
		}
	}
}

// TestSpoiltJobOnAFailingDisk has the file of a spoilt job fail: what cannot be
// flown is told with what failed, what may be dangerous is not flown without its
// file, nothing is said to be kept that is not, and on a sound disk the job is done.
func TestSpoiltJobOnAFailingDisk(t *testing.T) {
	_, p, j := demo(t)
	d, said := queue(t)
	d.Staff(1)
	d.run.Write = func(path string, _ []byte) error { return &os.PathError{Op: "write", Path: path, Err: syscall.EIO} }
	failed := "write " + filepath.Join(d.run.Folder, "spoilt-")
	once := func(err error) {
		t.Helper()
		if err == nil || strings.Count(err.Error(), failed) != 1 || !strings.Contains(err.Error(), "input/output error") || strings.Contains(err.Error(), "the job is in") {
			t.Errorf("%v, want it told once that the file of the job failed", err)
		}
		if left, _ := filepath.Glob(filepath.Join(d.run.Folder, "*")); len(left) > 0 {
			t.Errorf("%q are left", left)
		}
	}
	bad := j
	bad.Leg = &Leg{Settings: settings, Island: []byte("not an island")}
	bad.Leg.Settings.Algorithm = optimize.Default
	err := d.Ask(t.Context(), bad, func([]byte) error { return errors.New("an answer") })
	if once(err); !strings.Contains(err.Error(), "island 0: island: damaged: ") {
		t.Errorf("%v, want the job's own flaw too", err)
	}

	j.Program, j.Run = d.run.Program, d.run.Name
	j.Stretch = &Stretch{Mode: sweep.FrontMode, To: 100}
	q, err := d.pose(t.Context(), &j)
	if err != nil {
		t.Fatal(err)
	}
	var taken []byte
	accept := func(body []byte) error { taken = body; return nil }
	once(d.flyHere(t.Context(), q, accept, true))
	if taken != nil {
		t.Error("an answer was taken of a job that was not flown")
	}
	d.run.Write = writeFile
	var tally sweep.Tally
	if err := d.flyHere(t.Context(), q, accept, true); err != nil || json.Unmarshal(taken, &tally) != nil || tally.Check(p, 0, 100) != nil {
		t.Errorf("on a sound disk: %v, %.100q, want the answer", err, taken)
	}
	if left, _ := filepath.Glob(filepath.Join(d.run.Folder, "*")); len(left) > 0 {
		t.Errorf("%q are left of a job that was flown", left)
	}
	if n := strings.Count(said.all(), "no worker came to its end: flown here"); n != 1 {
		t.Errorf("told %d times that it is flown here, want once: %s", n, said.all())
	}
}
