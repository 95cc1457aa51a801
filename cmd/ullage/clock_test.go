package main

import (
	"io"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"
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
		sameRun(t, filepath.Join(dir, name, "search"), filepath.Join(dir, "steady", "search"))
		wantSame(t, contents(t, filepath.Join(dir, name, "sweep")), contents(t, filepath.Join(dir, "steady", "sweep")))
	}
}
