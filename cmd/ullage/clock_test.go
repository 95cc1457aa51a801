package main

import (
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"ullage/output/runs"
	"ullage/testdata/program"
)

// TestClockJumps searches and sweeps by a clock that stands still, that is put
// back and that is put on by days: only seconds and speeds differ.
func TestClockJumps(t *testing.T) {
	defer func() { now = time.Now }()
	b := sweepBrief(t)
	dir := t.TempDir()
	search := func(to string) {
		t.Helper()
		err := run(t.Context(), []string{"ullage", "search", b, "-q", "-o", filepath.Join(dir, to, "search"), "--set", "search.flights=2000"},
			streams{out: io.Discard, err: io.Discard})
		if err != nil {
			t.Fatal(err)
		}
		if err := sweepQuietly(t.Context(), b, "-o", filepath.Join(dir, to, "sweep"), "--draws", "500", "--part", "100"); err != nil {
			t.Fatal(err)
		}
	}
	search("steady")
	var mu sync.Mutex
	var at time.Time // without a monotonic reading
	rng := rand.New(rand.NewPCG(1, 1))
	for name, step := range map[string]func() time.Duration{
		"still": func() time.Duration { return 0 },
		"back":  func() time.Duration { return -time.Hour },
		"wild":  func() time.Duration { return time.Duration(rng.Int64N(2e15)) - 1e15 }, // days
	} {
		at = time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)
		now = func() time.Time {
			mu.Lock()
			defer mu.Unlock()
			at = at.Add(step())
			return at
		}
		search(name)
		program.SameRun(t, filepath.Join(dir, name, "search"), filepath.Join(dir, "steady", "search"))
		wantSame(t, contents(t, filepath.Join(dir, name, "sweep")), contents(t, filepath.Join(dir, "steady", "sweep")))
	}
}

// TestClockGoesOn interrupts a search that takes an hour at each look at the
// clock, and resumes it while the clock stands: the run has taken what its first
// session took, and its speed is of all of that.
func TestClockGoesOn(t *testing.T) {
	defer func() { now = time.Now }()
	ctx, interrupt := context.WithCancel(t.Context())
	var mu sync.Mutex
	at, looks := time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC), 0
	now = func() time.Time {
		mu.Lock()
		defer mu.Unlock()
		if looks++; looks == 10 { // behind the first barrier
			interrupt()
		}
		if looks <= 10 {
			at = at.Add(time.Hour)
		}
		return at
	}
	b, dir := sweepBrief(t), filepath.Join(t.TempDir(), "run")
	s := streams{out: io.Discard, err: io.Discard}
	args := []string{"ullage", "search", b, "-q", "-o", dir, "--set", "search.flights=4000"}
	var c coded
	if err := run(ctx, args, s); !errors.As(err, &c) || c.code != exitInterrupted {
		t.Fatalf("search = %v, want code %d", err, exitInterrupted)
	}
	if err := run(t.Context(), append(args, "--resume"), s); err != nil {
		t.Fatal(err)
	}
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	if hours := r.Clock.Seconds / 3600; hours < 1 || hours > 10 {
		t.Errorf("the run took %v h, want the 1 to 10 of its first session", hours)
	}
	if got, want := r.Clock.FlightsPerSecond, 4000/r.Clock.Seconds; got < 0.999*want || got > 1.001*want {
		t.Errorf("%v flights/s over %v s, want %v", got, r.Clock.Seconds, want)
	}
}
