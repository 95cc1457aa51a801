package strained_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"ullage/testdata/program"
)

// olderProcessors are amd64 processors as the run time and the libraries look
// for what they can do: without fused multiply-add, and without anything.
var olderProcessors = []string{"cpu.fma=off", "cpu.all=off"}

// TestSearchOnOlderProcessors holds that a search writes the same bytes on any
// processor that the program runs on.
func TestSearchOnOlderProcessors(t *testing.T) {
	t.Parallel()
	rocket, err := os.ReadFile("../testdata/rocket.toml")
	if err != nil {
		t.Fatal(err)
	}
	for name, search := range map[string]string{"plain": program.Plain, "robust": program.Robust} {
		root := t.TempDir()
		brief, want := filepath.Join(root, name+".toml"), filepath.Join(root, "here")
		if err := os.WriteFile(brief, append(rocket[:len(rocket):len(rocket)], search...), 0o666); err != nil {
			t.Fatal(err)
		}
		searchOn(t, "", brief, want)
		for i, off := range olderProcessors {
			dir := filepath.Join(root, fmt.Sprint("older", i))
			searchOn(t, off, brief, dir)
			program.SameRun(t, dir, want)
		}
	}
}

// searchOn searches on a processor without what off names, in the syntax of
// GODEBUG.
func searchOn(t *testing.T, off, brief, dir string) {
	t.Helper()
	c := exec.Command("ullage", "search", brief, "-o", dir, "-q")
	c.Env = append(os.Environ(), "GODEBUG="+off)
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%s: search: %v: %s", off, err, out)
	}
}

// TestFleetMixesProcessors has workers on old and new amd64 machines take part
// in one search, each alone for some of the time.
func TestFleetMixesProcessors(t *testing.T) {
	t.Parallel()
	brief, want := localRun(t)
	addr, dir := freePort(t), filepath.Join(t.TempDir(), "run")
	search := starts(t, "ullage", "search", brief, "-o", dir, "-q", "--serve", addr, "--workers", "0")
	for _, off := range append(olderProcessors, "") {
		worker := startsWith(t, []string{"GODEBUG=" + off}, "ullage", "worker", "nats://"+addr, "--workers", "2")
		time.Sleep(700 * time.Millisecond)
		if worker.ended() && !search.ended() {
			t.Fatalf("%q: the worker ended: %s", off, worker.said())
		}
		if off != "" {
			worker.kill()
		}
	}
	search.ends()
	program.SameRun(t, dir, want)
}
