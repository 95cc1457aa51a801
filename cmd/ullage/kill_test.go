package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"strconv"
	"syscall"
	"testing"
	"time"

	"ullage/output/runs"
)

// TestKilledSearch kills the program at random instants, half of them while it
// writes its last files, and resumes until it ends by itself: then the run is
// that of a search that was never disturbed, byte for byte.
func TestKilledSearch(t *testing.T) {
	t.Parallel()
	kills := 6
	if thorough() {
		kills = 24
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 0))

	rocket, err := os.ReadFile("testdata/rocket.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, search string
		kills        int
	}{
		{"plain", plainSearch, kills},
		{"robust", robustSearch, kills / 3},
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
			sameRun(t, dir, whole)
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
		now := barriers(t, dir)
		if now < last {
			t.Fatalf("%s: back from barrier %d to %d", dir, last, now)
		}
		last = now
		soundRun(t, dir)
	}
	return kills
}

const plainQuestion = `
[vary]
"fins.span"      = { from = "80 mm", to = "180 mm", step = "2 mm" }
"chamber.throat" = { from = "6 mm", to = "16 mm" }
"payload.mass"   = { from = "40 g", to = "240 g", step = "5 g" }
[goals]
apogee         = "highest"
"payload.mass" = "highest"
[limits]
margin        = { at_least = 1.0 }
landing_speed = { at_most = "6 m/s" }
`

const plainSearch = plainQuestion + `[search]
flights = 6000
islands = 2
front = 6
`

const robustSearch = `
[vary]
"fins.span"    = { from = "80 mm", to = "180 mm" }
"payload.mass" = { from = "40 g", to = "240 g", step = "5 g" }
[goals]
apogee = "highest"
margin = { highest = true, up_to = 2.0 }
[limits]
margin        = { at_least = 1.0 }
landing_speed = { at_most = "6 m/s" }
[scatter]
"chamber.pressure" = "1.5 %"
"recovery.delay"   = "0.1 s"
[search]
flights = 3000
islands = 1
front = 5
robust = { draws = 40, confidence = 0.9 }
`

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

// barriers returns how far the checkpoints of a folder go, −1 where there is
// none. Neither is ever less than whole.
func barriers(t *testing.T, dir string) int {
	t.Helper()
	last := -1
	for _, name := range []string{"checkpoint-a", "checkpoint-b"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if os.IsNotExist(err) {
			continue
		}
		var head struct{ Barrier int }
		line, _, _ := bytes.Cut(data, []byte("\n"))
		if err := json.Unmarshal(line, &head); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		last = max(last, head.Barrier)
	}
	return last
}

// soundRun holds that a run.json, if there is one, tells the truth.
func soundRun(t *testing.T, dir string) {
	t.Helper()
	if _, err := os.Stat(filepath.Join(dir, "run.json")); os.IsNotExist(err) {
		return
	}
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	for name, sum := range r.Files {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || runs.Hash(data) != sum {
			t.Errorf("%s/%s is not what run.json says (%v)", dir, name, err)
		}
	}
}

// sameRun compares two runs, but for what tells the time.
func sameRun(t *testing.T, got, want string) {
	t.Helper()
	for _, name := range []string{"brief.toml", "front.parquet", "front.arrow", "archive.parquet", "paths.parquet"} {
		a, err1 := os.ReadFile(filepath.Join(got, name))
		b, err2 := os.ReadFile(filepath.Join(want, name))
		if err1 != nil || err2 != nil || !bytes.Equal(a, b) {
			t.Errorf("%s/%s differs from an undisturbed run's (%v, %v)", got, name, err1, err2)
		}
	}
	if a, b := timeless(t, got), timeless(t, want); !reflect.DeepEqual(a, b) {
		t.Errorf("%s: %+v, want %+v", got, a, b)
	}
}

// timeless reads run.json and history.parquet without their times.
func timeless(t *testing.T, dir string) any {
	t.Helper()
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	history, _, err := r.ReadTable(dir, "history.parquet")
	if err != nil {
		t.Fatal(err)
	}
	last := len(history.Columns) - 1
	if seconds, ok := history.Columns[last].Values.([]float64); !ok || history.Columns[last].Name != "seconds" || !rising(seconds) {
		t.Errorf("%s: the last column of the history is %+v, want rising seconds", dir, history.Columns[last])
	}
	history.Columns = history.Columns[:last]
	r.Clock, r.Seal = runs.Clock{}, runs.Seal{}
	delete(r.Files, "history.parquet")
	return []any{r, history}
}

func rising(values []float64) bool {
	for i := 1; i < len(values); i++ {
		if values[i] < values[i-1] {
			return false
		}
	}
	return true
}
