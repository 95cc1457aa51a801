package fleet

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats.go/jetstream"

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

func sameKept(a, b *study.Kept) bool {
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
