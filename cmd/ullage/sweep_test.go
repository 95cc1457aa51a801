package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/urfave/cli/v2"

	"ullage/output/runs"
	"ullage/testdata/python"
)

// sweepBrief writes the brief of the scripts, tiny.toml, and returns its path.
func sweepBrief(t *testing.T) string {
	t.Helper()
	rocket, err := os.ReadFile("testdata/rocket.toml")
	if err != nil {
		t.Fatal(err)
	}
	search, err := os.ReadFile("testdata/search.toml")
	if err != nil {
		t.Fatal(err)
	}
	search = bytes.Replace(search, []byte("front = 20"), []byte("front = 6"), 1)
	path := filepath.Join(t.TempDir(), "tiny.toml")
	if err := os.WriteFile(path, append(rocket, search...), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func sweepQuietly(ctx context.Context, args ...string) error {
	s := streams{out: io.Discard, err: io.Discard}
	return run(ctx, append([]string{"ullage", "sweep", "-q"}, args...), s)
}

// kinds are a sweep of each mode, in several parts or rounds.
var kinds = map[string][]string{
	"grid":    {"--grid", "--set", "fins.span=120 mm", "--part", "150"},
	"front":   {"--grid", "--front-only", "--set", "fins.span=120 mm", "--part", "150"},
	"draws":   {"--draws", "1000", "--part", "150"},
	"indices": {"--indices", "200", "--part", "150"},
}

// contents reads all files of a run but run.json, whose clock differs, and the
// lock.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	if err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == "run.json" || d.Name() == "lock" {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		all[name] = string(data)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return all
}

func wantSame(t *testing.T, got, want map[string]string) {
	t.Helper()
	for name, data := range want {
		if got[name] != data {
			t.Errorf("%s differs from that of the whole sweep", name)
		}
	}
	if len(got) != len(want) || len(want) < 4 {
		t.Errorf("%d files, want %d, at least 4", len(got), len(want))
	}
}

// A context that ends when it has been asked so often interrupts a sweep at
// another place each time.
type counted struct {
	context.Context
	asked chan struct{}
	end   context.CancelFunc
}

func (c counted) Err() error {
	select {
	case <-c.asked:
	default:
		c.end()
	}
	return c.Context.Err()
}

// newCounted returns a context that ends when Err is called for the n-th time.
func newCounted(ctx context.Context, n int) counted {
	inner, end := context.WithCancel(ctx)
	c := counted{inner, make(chan struct{}, n), end}
	for range n {
		c.asked <- struct{}{}
	}
	return c
}

// TestSweepResumes interrupts sweeps again and again, and takes a part away,
// and wants the bytes of the whole sweep.
func TestSweepResumes(t *testing.T) {
	t.Parallel()
	b := sweepBrief(t)
	for name, args := range kinds {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			whole, broken := filepath.Join(dir, "whole"), filepath.Join(dir, "broken")
			if err := sweepQuietly(t.Context(), append([]string{b, "-o", whole, "--workers", "1"}, args...)...); err != nil {
				t.Fatal(err)
			}
			interrupts := 0
			for n := 20; ; n += 7 {
				ctx := newCounted(t.Context(), n)
				err := sweepQuietly(ctx, append([]string{b, "-o", broken, "--resume", "--workers", "2"}, args...)...)
				ctx.end()
				if err == nil {
					break
				}
				var c coded
				if !errors.As(err, &c) || c.code != exitInterrupted {
					t.Fatalf("sweep = %v, want code %d", err, exitInterrupted)
				}
				if r, err := runs.Read(broken); err == nil {
					interrupts++
					if r.State != runs.Interrupted || strings.HasPrefix(name, "f") != (r.Files["flights/part-000001.parquet"] == "") && r.Flights > 0 {
						t.Fatalf("run.json of an interrupted sweep: %+v", r)
					}
				}
				if interrupts == 2 {
					_ = os.Remove(filepath.Join(broken, "flights/part-000001.parquet"))
				}
				if interrupts > 100 {
					t.Fatal("100 interrupts, and no end")
				}
			}
			if interrupts < 2 {
				t.Errorf("%d interrupts, want at least 2", interrupts)
			}
			wantSame(t, contents(t, broken), contents(t, whole))
		})
	}
}

// TestSweepKilled kills the program at any instant.
func TestSweepKilled(t *testing.T) {
	t.Parallel()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	b := sweepBrief(t)
	for _, name := range []string{"draws", "front"} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			whole, broken := filepath.Join(dir, "whole"), filepath.Join(dir, "broken")
			args := []string{"ullage", "sweep", b, "--draws", "4000", "--part", "250", "-q", "-o"}
			if name == "front" {
				args = []string{"ullage", "sweep", b, "--grid", "--front-only", "--set", "chamber.throat=9 mm", "--part", "200", "-q", "-o"}
			}
			if err := run(t.Context(), append(args, whole), streams{out: io.Discard, err: io.Discard}); err != nil {
				t.Fatal(err)
			}
			kills := 0
			for wait := 150 * time.Millisecond; ; wait += 100 * time.Millisecond {
				ctx, cancel := context.WithTimeout(t.Context(), wait)
				// The test binary is the program when it is called by its name.
				c := exec.CommandContext(ctx, program)
				c.Args = append(args, broken, "--resume")
				var out bytes.Buffer
				c.Stdout, c.Stderr = &out, &out
				err := c.Run()
				cancel()
				if err == nil {
					break
				}
				if c.ProcessState.ExitCode() != -1 {
					t.Fatalf("%v\n%s", err, &out)
				}
				if kills++; kills > 200 {
					t.Fatal("200 kills, and no end")
				}
			}
			if kills == 0 {
				t.Error("no kill came in time")
			}
			wantSame(t, contents(t, broken), contents(t, whole))
		})
	}
}

// TestSweepNeedsRoom refuses before anything is written, and counts only what
// is left to do when it goes on.
func TestSweepNeedsRoom(t *testing.T) {
	b, dir := sweepBrief(t), filepath.Join(t.TempDir(), "deep", "run")
	asked := ""
	with := func(ctx context.Context, free uint64, args ...string) error {
		s := streams{out: io.Discard, err: io.Discard}
		command := s.sweepCommand()
		command.Action = s.sweep(func(dir string) (uint64, error) {
			asked = dir
			return free, nil
		})
		app := cli.App{Commands: []*cli.Command{command}, Writer: io.Discard, ExitErrHandler: func(*cli.Context, error) {}}
		return app.RunContext(ctx, append([]string{"ullage", "sweep", "--draws", "3000", "--part", "1000", "-q", "-o", dir}, append(args, b)...))
	}
	err := with(t.Context(), 20000)
	if err == nil || !strings.Contains(err.Error(), "20 kB free: want room for all") {
		t.Errorf("sweep with 20 kB free = %v, want a refusal", err)
	}
	if want := filepath.Dir(filepath.Dir(dir)); asked != want {
		t.Errorf("asked for the room of %s, want that of the nearest folder there is, %s", asked, want)
	}
	if _, err := os.Stat(filepath.Dir(dir)); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("stat: %v, want no folder", err)
	}
	for n := 60; ; n++ { // until one part of three is kept
		ctx := newCounted(t.Context(), n)
		err := with(ctx, 1<<30, "--resume")
		ctx.end()
		if r, _ := runs.Read(dir); r.Flights >= 1000 {
			break
		}
		if err == nil || n > 2000 {
			t.Fatalf("sweep = %v at %d", err, n)
		}
	}
	// Some 60 bytes a flight: 3000 would not fit, what is left does.
	if err := with(t.Context(), 150000, "--resume"); err != nil {
		t.Errorf("resumed with 150 kB free = %v, want no refusal", err)
	}
	dir += "-again"
	if err := with(t.Context(), 150000); err == nil || !strings.Contains(err.Error(), "want room") {
		t.Errorf("begun with 150 kB free = %v, want a refusal", err)
	}
}

// TestSweepIsReadWhileItGoesOn reads every part there is with other readers,
// again and again: each is whole.
func TestSweepIsReadWhileItGoesOn(t *testing.T) {
	t.Parallel()
	interpreter := python.Python(t)
	b, dir := sweepBrief(t), filepath.Join(t.TempDir(), "run")
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- sweepQuietly(ctx, b, "-o", dir, "--draws", "10000000", "--part", "2000") }()
	flights := filepath.Join(dir, "flights")
	moreThan := func(n int) {
		t.Helper()
		for deadline := time.Now().Add(time.Minute); ; time.Sleep(5 * time.Millisecond) {
			if parts, _ := filepath.Glob(filepath.Join(flights, "*.parquet")); len(parts) > n {
				return
			}
			if time.Now().After(deadline) {
				t.Fatalf("no more than %d parts in a minute", n)
			}
		}
	}
	moreThan(2)
	out, err := exec.CommandContext(ctx, interpreter, "../../testdata/python/read_parts.py", flights, "20").Output()
	if err != nil {
		var failed *exec.ExitError
		if errors.As(err, &failed) {
			t.Fatalf("read_parts.py: %v\n%s", err, failed.Stderr)
		}
		t.Fatal(err)
	}
	var counts map[string][]int
	if err := json.Unmarshal(out, &counts); err != nil {
		t.Fatal(err)
	}
	select {
	case err := <-ended:
		t.Fatalf("the sweep ended before it was read: %v", err)
	default:
	}
	moreThan(slices.Max(counts["duckdb"]) / 2000) // the readers did not hold it up
	cancel()
	var c coded
	if err := <-ended; !errors.As(err, &c) || c.code != exitInterrupted {
		t.Errorf("sweep = %v, want code %d", err, exitInterrupted)
	}
	for _, reader := range []string{"pyarrow", "polars", "duckdb"} {
		if len(counts[reader]) != 20 {
			t.Errorf("%s read %d times, want 20", reader, len(counts[reader]))
		}
		for _, n := range counts[reader] {
			if n < 6000 || n%2000 != 0 {
				t.Errorf("%s found %d flights, want whole parts of 2000, at least 3", reader, n)
			}
		}
	}
}

func TestWholeNumbers(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 999: "999", 1000: "1 000", 120623517: "120 623 517"} {
		if got := whole(v); got != want {
			t.Errorf("whole(%v) = %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{0: "0 B", 999: "999 B", 1000: "1 kB", 999.9: "999.9 B", 999.91: "1 kB", 123_410: "123.5 kB", 999_950: "1 MB", 6.4e9: "6.4 GB", 3.21e16: "32.1 PB", 4e18: "4000 PB"} {
		if got := amountOf(v); got != want {
			t.Errorf("amountOf(%v) = %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{5: "5.0 s", 99.9: "99.9 s", 100: "2 min", 3000: "50 min", 5999: "100 min", 6000: "1.7 h", 7200: "2.0 h"} {
		if got := lasting(v); got != want {
			t.Errorf("lasting(%v) = %q, want %q", v, got, want)
		}
	}
}
