package runs_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
)

// What cannot be written as JSON or as a table is refused, by the name of its file,
// and nothing of it is left.
func TestUnfitRecordsAreRefused(t *testing.T) {
	dir := saved(t, 2)
	f, _, _, err := runs.Resume(dir, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	a, b := read(t, filepath.Join(dir, "checkpoint-a")), read(t, filepath.Join(dir, "checkpoint-b"))
	bad := checkpoint(3)
	bad.Seconds[0] = math.NaN()
	for name, do := range map[string]func() error{
		"checkpoint-a": func() error { return f.Save(bad) },
		"run.json": func() error {
			_, err := f.Finish(runs.Run{Hypervolume: math.Inf(1)})
			return err
		},
		"sweep.json": func() error { return f.WriteSweep(&runs.Sweep{Front: []byte("{")}) },
		"front.parquet": func() error {
			return f.WriteTable("front.parquet", table.Table{Columns: []table.Column{{Name: "x", Unit: "1", Values: []float64{math.NaN()}}}})
		},
	} {
		if err := do(); err == nil || !strings.HasPrefix(err.Error(), "write "+filepath.Join(dir, name)+": ") {
			t.Errorf("%s = %v, want it refused by its name", name, err)
		}
	}
	if !bytes.Equal(a, read(t, filepath.Join(dir, "checkpoint-a"))) || !bytes.Equal(b, read(t, filepath.Join(dir, "checkpoint-b"))) {
		t.Error("a checkpoint is no longer as it was")
	}
	wantFiles(t, dir, "brief.toml", "checkpoint-a", "checkpoint-b", "lock")
	if f.Sum("front.parquet") != "" {
		t.Error("what was not written has a sum")
	}
}

// A sweep that began is known by its file, a search by its checkpoints.
func TestWhatBegan(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	if runs.HasSweep(dir) || runs.HasCheckpoint(dir) {
		t.Error("nothing began")
	}
	if err := f.WriteSweep(&runs.Sweep{Mode: "grid"}); err != nil {
		t.Fatal(err)
	}
	if !runs.HasSweep(dir) || runs.HasCheckpoint(dir) {
		t.Error("a sweep began, and no search")
	}
	for _, name := range []string{"checkpoint-a", "checkpoint-b"} {
		other := t.TempDir()
		write(t, filepath.Join(other, name), nil)
		if runs.HasSweep(other) || !runs.HasCheckpoint(other) {
			t.Errorf("%s alone: a search began, and no sweep", name)
		}
	}
}

// A table that is not as run.json has it is not scanned either, and what take errs
// with ends it.
func TestScanOfAChangedTable(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	if err := f.WriteTable("front.parquet", apogees(3)); err != nil {
		t.Fatal(err)
	}
	r, err := f.Finish(runs.Run{State: runs.Finished, Front: 3})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "front.parquet")
	if err := r.ScanTable(dir, "front.parquet", []string{"apogee_m"}, func(table.Table) error { return os.ErrClosed }); err == nil || err.Error() != "read "+path+": file already closed" {
		t.Errorf("ScanTable = %v, want what take errs with", err)
	}
	write(t, path, append(read(t, path), 0))
	err = r.ScanTable(dir, "front.parquet", nil, func(table.Table) error {
		t.Error("a row is taken")
		return nil
	})
	if err == nil || !strings.HasPrefix(err.Error(), "read "+path+": SHA-256 ") {
		t.Errorf("ScanTable of a changed file = %v", err)
	}
}
