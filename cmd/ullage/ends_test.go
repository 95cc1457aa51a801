//go:build unix

package main

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"ullage/optimize/sweep"
	"ullage/output/runs"
	"ullage/testdata/program"
)

// soon is how long a command may take to its end after the first signal. It
// takes a second at most on two quiet cores; a test's may be anybody's.
const soon = 6 * time.Second

// A flying is a command in a process of its own.
type flying struct {
	*exec.Cmd
	said strings.Builder
	done chan error
}

func fly(t *testing.T, args ...string) *flying {
	t.Helper()
	f := &flying{Cmd: exec.Command("ullage", args...), done: make(chan error, 1)}
	f.Stderr = &f.said
	if err := f.Start(); err != nil {
		t.Fatal(err)
	}
	go func() { f.done <- f.Wait() }()
	return f
}

// ends tells a command to end and returns its exit code, which must come soon.
func (f *flying) ends(t *testing.T, signal os.Signal) int {
	t.Helper()
	start := time.Now()
	_ = f.Process.Signal(signal) // it may have ended by itself
	select {
	case <-f.done:
	case <-time.After(soon):
		_ = f.Process.Kill()
		<-f.done
		t.Fatalf("%q still ran %v after the signal", f.Args, soon)
	}
	t.Logf("%q ended after %v", f.Args[1:], time.Since(start))
	return f.ProcessState.ExitCode()
}

// until waits for something to come about while the command runs.
func (f *flying) until(t *testing.T, so func() bool) {
	t.Helper()
	for start := time.Now(); !so(); time.Sleep(time.Millisecond) {
		if len(f.done) > 0 || time.Since(start) > time.Minute {
			t.Fatalf("%q: it did not come to what was waited for: %s", f.Args, &f.said)
		}
	}
}

// TestEndsWhileItFlies tells commands to end while they fly for what takes them
// from seconds to minutes: they end soon, say so, and leave no file.
func TestEndsWhileItFlies(t *testing.T) {
	t.Parallel()
	b := sweepBrief(t)
	text, err := os.ReadFile(b)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	scattered := filepath.Join(dir, "scattered.toml")
	if err := os.WriteFile(scattered, append(text, "[scatter]\n\"chamber.pressure\" = \"1.5 %\"\n"...), 0o666); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out")
	for _, c := range []struct {
		signal syscall.Signal
		args   []string
	}{
		{syscall.SIGTERM, []string{"card", b, "--set", "payload.mass=80 g", "-o", out}},
		{syscall.SIGINT, []string{"scatter", scattered, "--draws", "1000000", "-o", out + ".parquet"}},
		{syscall.SIGHUP, []string{"sweep", b, "--draws", "100000000", "--part", "1048576", "-q", "-o", out + "-sweep"}},
	} {
		// Before it listens a signal ends any program, with no code.
		code := -1
		for wait := 300 * time.Millisecond; code == -1 && wait < time.Minute; wait *= 3 {
			f := fly(t, c.args...)
			time.Sleep(wait)
			if code = f.ends(t, c.signal); code != -1 && !strings.Contains(f.said.String(), "interrupted") {
				t.Errorf("%q says %q, want that it was interrupted", c.args, &f.said)
			}
		}
		if code != exitInterrupted {
			t.Errorf("%q: exit code %d, want %d", c.args, code, exitInterrupted)
		}
	}
	if left, err := filepath.Glob(out + "*"); err != nil || len(left) > 1 || len(left) == 1 && left[0] != out+"-sweep" {
		t.Errorf("%q are left (%v), want no file of what was not flown", left, err)
	}
}

// TestEndedBeforeItFlies runs every other command that flies or reads much with
// the signal given already: it writes nothing.
func TestEndedBeforeItFlies(t *testing.T) {
	t.Parallel()
	b := sweepBrief(t)
	dir := t.TempDir()
	plan, out := filepath.Join(dir, "run"), filepath.Join(dir, "out")
	ullage(t, t.Context(), 0, "search", b, "-o", plan, "-q", "--set", "search.front=2", "--set", "search.flights=200")
	if err := os.Remove(filepath.Join(plan, "report.html")); err != nil {
		t.Fatal(err)
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for _, args := range [][]string{
		{"card", plan, "-o", out},
		{"card", plan, "--room", "-o", out},
		{"effects", plan, "-o", out + ".parquet"},
		{"report", plan},
		{"compare", plan, plan, "-o", out + ".html"},
		{"compare", plan, "--by", "fins.span", "-o", out + ".parquet"},
		{"table", plan, filepath.Join(dir, "front.csv")},
		{"fit", b, "--sighted", "45 deg at 100 m", "-o", out},
	} {
		ullage(t, ended, exitInterrupted, args...)
	}
	left, err := filepath.Glob(filepath.Join(dir, "[^r]*"))
	if _, fault := os.Stat(filepath.Join(plan, "report.html")); err != nil || len(left) > 0 || !errors.Is(fault, os.ErrNotExist) {
		t.Errorf("%q are left (%v), or a report (%v), want nothing", left, err, fault)
	}
}

// TestSearchEndsAfterItsFlights tells a search to end when its last checkpoint
// is written and it flies for what is told of its front: what was found is
// written at once, and resumed it is what it would have been.
func TestSearchEndsAfterItsFlights(t *testing.T) {
	t.Parallel()
	b := sweepBrief(t)
	dir := t.TempDir()
	whole, cut := filepath.Join(dir, "whole"), filepath.Join(dir, "cut")
	args := []string{"search", b, "-q", "--set", "search.front=40", "--set", "search.flights=4000", "-o"}
	ullage(t, t.Context(), 0, append(args, whole)...)
	f := fly(t, append(args, cut)...)
	f.until(t, func() bool { return program.Barriers(t, cut) == program.Barriers(t, whole) })
	if code := f.ends(t, syscall.SIGTERM); code != exitInterrupted || !strings.Contains(f.said.String(), "interrupted after 4000 of 4000 flights, what was found is written") {
		t.Fatalf("exit code %d, %s, want %d and how far it came", code, &f.said, exitInterrupted)
	}
	program.SoundRun(t, cut)
	r, err := runs.Read(cut)
	if err != nil || r.State != runs.Interrupted || r.Front < 10 || len(r.Files) != 6 {
		t.Errorf("run = %+v, %v, want six files of an interrupted run with a front", r, err)
	}
	ullage(t, t.Context(), 0, "search", cut, "--resume", "-q")
	program.SameRun(t, cut, whole)
}

// TestSweepEndsAfterItsFlights does the same to a sweep that keeps its front.
func TestSweepEndsAfterItsFlights(t *testing.T) {
	t.Parallel()
	b := sweepBrief(t)
	dir := t.TempDir()
	whole, cut := filepath.Join(dir, "whole"), filepath.Join(dir, "cut")
	args := []string{"sweep", b, "--grid", "--front-only", "-q", "--resume", "--set", "search.front=1000", "--set", "chamber.throat=9 mm", "-o"}
	ullage(t, t.Context(), 0, append(args, whole)...)
	f := fly(t, append(args, cut)...)
	f.until(t, func() bool {
		var s runs.Sweep
		var tally sweep.Tally
		data, err := os.ReadFile(filepath.Join(cut, "sweep.json"))
		return err == nil && json.Unmarshal(data, &s) == nil && s.Front != nil && json.Unmarshal(s.Front, &tally) == nil && tally.Next == s.Size
	})
	if code := f.ends(t, syscall.SIGTERM); code != exitInterrupted {
		t.Fatalf("exit code %d, %s, want %d", code, &f.said, exitInterrupted)
	}
	if _, err := os.Stat(filepath.Join(cut, "front.parquet")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("front.parquet is there (%v), want it written when all of it is flown", err)
	}
	ullage(t, t.Context(), 0, append(args, cut)...)
	for _, name := range []string{"front.parquet", "front.arrow", "brief.toml"} {
		a, err1 := os.ReadFile(filepath.Join(cut, name))
		b, err2 := os.ReadFile(filepath.Join(whole, name))
		if err1 != nil || err2 != nil || string(a) != string(b) {
			t.Errorf("%s differs from that of a sweep that was never told to end (%v, %v)", name, err1, err2)
		}
	}
}
