//go:build unix

package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// TestFIFOEndsWithTheSignal waits for a brief from a pipe that nobody writes to:
// every command that reads one ends soon after the first signal.
func TestFIFOEndsWithTheSignal(t *testing.T) {
	t.Parallel()
	pipe := filepath.Join(t.TempDir(), "pipe.toml")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	brief := sweepBrief(t)
	for _, args := range [][]string{
		{"check", pipe},
		{"fly", pipe},
		{"search", pipe},
		{"sweep", pipe, "--draws", "5"},
		{"scatter", pipe},
		{"card", pipe},
		{"effects", pipe},
		{"fit", pipe, "x.csv"},
		{"fit", brief, pipe},
		{"fit", brief, "x.csv", "--conditions", pipe},
	} {
		if code := endsWithTheSignal(t, soon, args); code != exitInterrupted {
			t.Errorf("%q: exit code %d, want %d", args, code, exitInterrupted)
		}
	}
}

// endsWithTheSignal runs a command, tells it to end, and returns its code, which
// must come within that time.
func endsWithTheSignal(t *testing.T, within time.Duration, args []string) (code int) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	ended := make(chan int, 1)
	go func() {
		s := streams{out: io.Discard, err: io.Discard}
		ended <- s.report(run(ctx, append([]string{"ullage"}, args...), s))
	}()
	time.Sleep(50 * time.Millisecond)
	cancel()
	select {
	case code = <-ended:
	case <-time.After(within):
		t.Errorf("%q still runs %v after the signal", args, within)
	}
	return code
}

// TestNoFileToWaitFor puts a pipe that nobody writes to, and a device without
// end, in the place of every file that is no brief, log or conditions, and of
// those of a run: each is refused at once.
func TestNoFileToWaitFor(t *testing.T) {
	t.Parallel()
	brief := sweepBrief(t)
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	whole := filepath.Join(dir, "run")
	s := streams{out: io.Discard, err: io.Discard}
	if err := run(t.Context(), []string{"ullage", "search", brief, "-o", whole, "-q", "--set", "search.front=1"}, s); err != nil {
		t.Fatal(err)
	}
	for _, special := range []string{pipe, "/dev/zero"} {
		for _, args := range [][]string{
			{"search", brief, "-o", filepath.Join(dir, "none"), "--serve", ":0", "--token", special},
			{"search", brief, "-o", filepath.Join(dir, "none"), "--serve", ":0", "--tls-cert", special, "--tls-key", special},
			{"search", brief, "-o", filepath.Join(dir, "none"), "--server", "tls://127.0.0.1:1", "--tls-ca", special},
			{"search", brief, "-o", special},
			{"search", brief, "-o", filepath.Join(dir, "spooled"), "--spool", special},
			{"worker", "--replay", special},
			{"worker", "tls://127.0.0.1:1", "--token", special},
			{"epoch", "--in", special},
		} {
			if code := endsWithTheSignal(t, soon, args); code != exitFailed && code != exitUsage {
				t.Errorf("%q: exit code %d, want it refused", args, code)
			}
		}
		for _, name := range []string{"run.json", "front.parquet", "brief.toml", "history.parquet", "paths.parquet", "checkpoint-a", "lock"} {
			path := filepath.Join(whole, name)
			if err := errors.Join(os.Rename(path, path+".was"), os.Symlink(special, path)); err != nil {
				t.Fatal(err)
			}
			for _, args := range [][]string{
				{"report", whole},
				{"notebook", whole},
				{"scatter", whole, "--draws", "20"},
				{"search", whole, "--resume", "-q", "--workers", "1"},
			} {
				endsWithTheSignal(t, 30*time.Second, args) // some fly on to their end
			}
			if err := errors.Join(os.Remove(path), os.Rename(path+".was", path)); err != nil {
				t.Fatal(err)
			}
		}
	}
}
