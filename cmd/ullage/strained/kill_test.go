package strained_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"syscall"
	"testing"
	"time"

	"ullage/testdata/program"
)

// TestKilledSearch kills the program at random instants, half of them while it
// writes its last files, and resumes until it ends by itself: then the run is
// that of a search that was never disturbed, byte for byte.
func TestKilledSearch(t *testing.T) {
	t.Parallel()
	kills := 6
	if program.Thorough() {
		kills = 24
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))

	rocket, err := os.ReadFile("../testdata/rocket.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, search string
		kills        int
	}{
		{"plain", program.Plain, kills},
		{"robust", program.Robust, kills / 3},
	} {
		root := t.TempDir()
		brief := filepath.Join(root, c.name+".toml")
		if err := os.WriteFile(brief, append(rocket[:len(rocket):len(rocket)], c.search...), 0o666); err != nil {
			t.Fatal(err)
		}
		whole := filepath.Join(root, "whole")
		start := time.Now()
		if out, err := exec.Command("ullage", "search", brief, "-o", whole, "-q").CombinedOutput(); err != nil {
			t.Fatalf("search: %v: %s", err, out)
		}
		took := time.Since(start)
		t.Logf("the %s search takes %v", c.name, took)
		for run := 0; c.kills > 0; run++ {
			dir := filepath.Join(root, fmt.Sprint("run", run))
			c.kills -= killUntilItEnds(t, rng, took, dir, brief)
			program.SameRun(t, dir, whole)
		}
	}
}

// killUntilItEnds returns how often it killed the search.
func killUntilItEnds(t *testing.T, rng *rand.Rand, took time.Duration, dir, brief string) (kills int) {
	t.Helper()
	last := -1
	for ended := false; !ended; {
		var killed bool
		if killed, ended = disturbed(t, rng, took, dir, brief); killed {
			kills++
		}
		now := program.Barriers(t, dir)
		if now < last {
			t.Fatalf("%s: back from barrier %d to %d", dir, last, now)
		}
		last = now
		program.SoundRun(t, dir)
	}
	return kills
}

// disturbed resumes the run and ends the process before it does so itself, if
// it can: killed by the one signal that it cannot hear of, or after one that
// asks it to stop.
func disturbed(t *testing.T, rng *rand.Rand, took time.Duration, dir, brief string) (killed, ended bool) {
	t.Helper()
	var out bytes.Buffer
	c := exec.Command("ullage", "search", brief, "-o", dir, "-q", "--resume",
		"--workers", strconv.Itoa(1+rng.IntN(3)))
	c.Stderr = &out
	start := time.Now()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- c.Wait() }()
	signal := os.Kill
	var after time.Duration
	switch way := rng.IntN(5); {
	case way < 2: // while it writes its last files
		for !written(filepath.Join(dir, "front.parquet"), start) && len(done) == 0 {
			time.Sleep(200 * time.Microsecond)
		}
		after = time.Duration(rng.Int64N(int64(took / 8)))
	case way == 4 && runtime.GOOS != "windows": // where such a signal can be sent
		signal = [...]os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}[rng.IntN(3)]
		fallthrough
	default:
		after = time.Duration(rng.Int64N(int64(took)))
	}
	select {
	case err := <-done:
		if err != nil {
			t.Fatalf("resumed: %v: %s", err, out.Bytes())
		}
		return false, true
	case <-time.After(after):
	}
	// It may have ended in this instant.
	_ = c.Process.Signal(signal)
	err := <-done
	code := c.ProcessState.ExitCode()
	if err != nil && code != -1 && code != exitInterrupted && !(runtime.GOOS == "windows" && code == 1) {
		t.Fatalf("after %v, signal %v: exit code %d: %s", after, signal, code, out.Bytes())
	}
	return err != nil && signal == os.Kill, err == nil
}

// written reports whether the file was written after start.
func written(path string, start time.Time) bool {
	info, err := os.Stat(path)
	return err == nil && !info.ModTime().Before(start)
}
