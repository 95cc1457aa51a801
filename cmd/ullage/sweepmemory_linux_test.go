package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/testdata/briefs"
)

// The report of a sweep of millions of rows takes less than 300 MB.
func TestSweepReportMemory(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("counts two million rows")
	}
	b := briefs.Demo(t, "field-day.toml")
	const parts, run = 8, "0123456789abcdef"
	rows, random := output.NewFlights(b, run, partRows), rand.New(rand.NewPCG(1, 2))
	x, kept := make([]float64, len(b.Vary)), study.Kept{Numbers: make([]float64, len(output.Numbers(b))), Outcome: model.Landed.String()}
	for i := range partRows {
		for k := range x {
			x[k] = b.Vary[k].Lowest() + random.Float64()*(b.Vary[k].Highest()-b.Vary[k].Lowest())
		}
		for k := range kept.Numbers {
			kept.Numbers[k] = math.Round(1e3*random.NormFloat64()) / 1e2
		}
		kept.Feasible = random.IntN(100) == 0
		rows.Set(i, int64(i+1), x, &kept)
	}
	f, err := runs.Create(filepath.Join(t.TempDir(), "run"), b.Source, b.Search.Seed, version())
	if err != nil {
		t.Fatal(err)
	}
	data, err := table.EncodePart(rows.Table(partRows), f.Meta)
	if err != nil {
		t.Fatal(err)
	}
	for i := range parts {
		if err := f.Write(runs.PartName(i+1), data); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := f.Finish(runs.Run{State: runs.Finished, Sweep: "draws", Flights: parts * partRows}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if most := memoryOf(t, "report", f.Dir); most > 300e6 {
		t.Errorf("%d rows took %d bytes, want at most 300 MB", parts*partRows, most)
	}
}

// A sweep that writes whole parts takes less than 300 MB.
func TestSweepMemory(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("-short: flies two parts of 262 144; go test ./... does it")
	}
	dir := filepath.Join(t.TempDir(), "run")
	if most := memoryOf(t, "sweep", "../../testdata/briefs/field-day.toml", "--draws", fmt.Sprint(2*partRows), "-q", "-o", dir); most > 300e6 {
		t.Errorf("two parts took %d bytes, want at most 300 MB", most)
	}
	if _, err := os.Stat(filepath.Join(dir, runs.PartName(2))); err != nil {
		t.Errorf("%v, want two parts", err)
	}
}

// memoryOf runs the program to its end and returns the most memory that it held,
// in bytes.
func memoryOf(t *testing.T, args ...string) (most int) {
	t.Helper()
	var printed bytes.Buffer
	cmd := exec.Command("ullage", args...)
	cmd.Stdout, cmd.Stderr = &printed, &printed
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for tick := time.Tick(20 * time.Millisecond); ; {
		select {
		case err := <-ended:
			if err != nil || most == 0 {
				t.Fatalf("%q: %v after %d bytes: %s", args, err, most, &printed)
			}
			t.Logf("%q: %d MB", args, most/1e6)
			return most
		case <-tick:
			most = max(most, mostMemory(cmd.Process.Pid))
		}
	}
}

// mostMemory returns the most that a process has held so far, in bytes, 0 where it
// has ended. What the system tells at its end counts the process that started it
// as well.
func mostMemory(pid int) int {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	found := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
	if found == nil {
		return 0
	}
	kilobytes, err := strconv.Atoi(string(found[1]))
	if err != nil {
		return 0
	}
	return 1024 * kilobytes
}
