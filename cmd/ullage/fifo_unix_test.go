//go:build unix

package main

import (
	"bytes"
	"context"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// TestFIFOEndsWithTheSignal waits for a brief from a pipe that nobody writes to:
// every command that reads one ends within a second of the first signal.
func TestFIFOEndsWithTheSignal(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe.toml")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{"check", "fly", "search", "scatter", "card", "effects"} {
		ctx, cancel := context.WithCancel(t.Context())
		var out bytes.Buffer
		ended := make(chan int)
		go func() {
			s := streams{out: &out, err: &out}
			ended <- s.report(run(ctx, []string{"ullage", command, pipe}, s))
		}()
		time.AfterFunc(50*time.Millisecond, cancel)
		select {
		case code := <-ended:
			if code != exitInterrupted {
				t.Errorf("%s: exit code %d, want %d: %s", command, code, exitInterrupted, &out)
			}
		case <-time.After(time.Second):
			t.Fatalf("%s still waits a second after the signal", command)
		}
		cancel()
	}
}
