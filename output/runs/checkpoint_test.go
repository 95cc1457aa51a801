package runs_test

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"ullage/output/runs"
)

func checkpoint(barrier int) runs.Checkpoint {
	return runs.Checkpoint{
		Set: []string{"chamber.throat=9 mm"}, From: &runs.Origin{Run: "runs/a", Front: "abc"},
		First: [][]float64{{0.1 + 0.2, math.Pi}}, Barrier: barrier, Seconds: make([]float64, barrier),
		State: []byte(fmt.Sprintf("state\n\x00 at barrier %d", barrier)),
	}
}

// saved makes a folder with so many checkpoints and leaves it.
func saved(t *testing.T, barriers int) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	for i := range barriers {
		if err := f.Save(checkpoint(i)); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

// resumed resumes and leaves the folder again.
func resumed(dir string) (c runs.Checkpoint, note string, err error) {
	f, c, note, err := runs.Resume(dir, "v0.1.0")
	if err == nil {
		err = f.Close()
	}
	return c, note, err
}

// forge replaces a text in both checkpoints and seals them again.
func forge(t *testing.T, dir, old, forged string) {
	t.Helper()
	for _, name := range []string{"checkpoint-a", "checkpoint-b"} {
		path := filepath.Join(dir, name)
		data := read(t, path)
		data = bytes.Replace(data[:len(data)-sha256.Size], []byte(old), []byte(forged), 1)
		sum := sha256.Sum256(data)
		write(t, path, append(data, sum[:]...))
	}
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

func TestResumeFromTheLast(t *testing.T) {
	if dir := saved(t, 0); runs.HasCheckpoint(dir) {
		t.Errorf("HasCheckpoint = true, none was saved")
	}
	for n := 1; n <= 5; n++ {
		dir := saved(t, n)
		if !runs.HasCheckpoint(dir) {
			t.Errorf("HasCheckpoint = false after %d", n)
		}
		got, note, err := resumed(dir)
		if want := checkpoint(n - 1); err != nil || note != "" || !reflect.DeepEqual(got, want) {
			t.Errorf("after %d checkpoints: %+v, %q, %v, want %+v", n, got, note, err, want)
		}
	}
}

// Whatever bit of the newer file is turned, wherever it is cut: the older one
// counts, and is not the one that is written next. Without it nothing does.
func TestDamagedCheckpoints(t *testing.T) {
	dir := saved(t, 4)
	newer, older := filepath.Join(dir, "checkpoint-b"), filepath.Join(dir, "checkpoint-a")
	whole, kept := read(t, newer), read(t, older)
	check := func(what string, i int, damaged []byte) {
		t.Helper()
		write(t, newer, damaged)
		got, note, err := resumed(dir)
		if err != nil || !reflect.DeepEqual(got, checkpoint(2)) || !strings.Contains(note, newer+": damaged: ") {
			t.Fatalf("byte %d %s: barrier %d, %q, %v, want barrier 2 and a note", i, what, got.Barrier, note, err)
		}
	}
	damaged := bytes.Clone(whole)
	for i := range whole {
		check("the last", i, whole[:i])
		for bit := range 8 {
			damaged[i] ^= 1 << bit
			check("changed", i, damaged)
			damaged[i] ^= 1 << bit
		}
	}
	t.Logf("%d bits turned, %d cuts", 8*len(whole), len(whole))
	check("too much", len(whole), append(bytes.Clone(whole), 0))

	f, c, _, err := runs.Resume(dir, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	c.Barrier = 3
	if err := f.Save(c); err != nil {
		t.Fatal(err)
	}
	f.Close()
	if !bytes.Equal(read(t, older), kept) {
		t.Error("the only whole checkpoint was written over")
	}

	write(t, newer, whole[:9])
	write(t, older, damaged[:len(damaged)-1])
	want := "read " + older + ": damaged: checksum mismatch\nread " + newer + ": damaged: 9 bytes"
	if _, _, err := resumed(dir); err == nil || err.Error() != want {
		t.Errorf("both damaged: %v, want %s", err, want)
	}
}

func TestResumeRefuses(t *testing.T) {
	dir := saved(t, 2)
	if _, _, _, err := runs.Resume(dir, "v0.2.0"); err == nil || err.Error() != dir+": begun by version v0.1.0, this is v0.2.0, want the same" {
		t.Errorf("another version: %v", err)
	}
	f, _, _, err := runs.Resume(dir, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := resumed(dir); err == nil || err.Error() != dir+": in use by another process" {
		t.Errorf("in use: %v", err)
	}
	f.Close()

	brief := filepath.Join(dir, "brief.toml")
	write(t, brief, []byte("other"))
	want := fmt.Sprintf("%s: the brief has changed: SHA-256 %.8s, the search began with %.8s", brief,
		runs.Hash([]byte("other")), runs.Hash([]byte(briefText)))
	if _, _, err := resumed(dir); err == nil || err.Error() != want {
		t.Errorf("another brief: %v, want %s", err, want)
	}

	// Of another build, and of another class of processor.
	write(t, brief, []byte(briefText))
	for _, row := range []struct{ key, want string }{
		{`"program_sha256":"`, "begun by another build of version v0.1.0, want the same program: the result would be another"},
		{`"cpu":"`, "begun with " + runtime.Version() + " on 0"},
	} {
		forge(t, dir, row.key, row.key+"0")
		if _, _, err := resumed(dir); err == nil || !strings.HasPrefix(err.Error(), dir+": "+row.want) {
			t.Errorf("%s: %v, want %s", row.key, err, row.want)
		}
		forge(t, dir, row.key+"0", row.key)
	}
	if _, _, err := resumed(dir); err != nil {
		t.Errorf("put right again: %v", err)
	}

	empty := t.TempDir()
	if _, _, err := resumed(empty); err == nil || err.Error() != empty+": no checkpoint, nothing to resume from" {
		t.Errorf("nothing to resume: %v", err)
	}
}

// The run.json of an interruption stands until the first of its files is
// replaced, and what a killed process left goes.
func TestResumeKeepsTheInterruptedRun(t *testing.T) {
	dir := saved(t, 1)
	f, _, _, err := runs.Resume(dir, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Finish(runs.Run{State: runs.Interrupted}); err != nil {
		t.Fatal(err)
	}
	f.Close()
	write(t, filepath.Join(dir, ".front.parquet.0badcafe.tmp"), nil)

	if f, _, _, err = runs.Resume(dir, "v0.1.0"); err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Save(checkpoint(1)); err != nil {
		t.Fatal(err)
	}
	wantFiles(t, dir, "brief.toml", "checkpoint-a", "checkpoint-b", "lock", "run.json")
	if err := f.Write("front.parquet", []byte("a front")); err != nil {
		t.Fatal(err)
	}
	wantFiles(t, dir, "brief.toml", "checkpoint-a", "checkpoint-b", "front.parquet", "lock")
	r, err := f.Finish(runs.Run{State: runs.Finished})
	if err != nil || r.Seed != 7 || len(r.Files) != 2 || r.Files["brief.toml"] != runs.Hash([]byte(briefText)) {
		t.Errorf("run.json = %+v, %v, want seed 7 and the hashes of 2 files", r, err)
	}
}

// A folder in which only this brief stands is what a killed search left; with
// another brief it is somebody's.
func TestCreateAfterTheBrief(t *testing.T) {
	dir := saved(t, 0)
	wantRefusal(t, dir, "holds an unfinished run, want a new folder or to resume it")
	create(t, dir)
	dir = saved(t, 1)
	if _, err := runs.Create(dir, []byte(briefText), 7, "v0.1.0"); err == nil || err.Error() != dir+": holds an unfinished run, want a new folder or to resume it" {
		t.Errorf("Create over a checkpoint: %v", err)
	}
}
