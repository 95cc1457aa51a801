package runs_test

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"ullage/output/runs"
	"ullage/testdata/failing"
)

// named holds that an error is that of the disk and names something in a folder, but
// no temporary file.
func named(t *testing.T, failed string, err error, dir string) {
	t.Helper()
	if !errors.Is(err, failing.Err) || !strings.Contains(err.Error(), dir) || strings.Contains(err.Error(), "temporary") {
		t.Errorf("%s fails: %v, want an error of the disk that names what is in %s", failed, err, dir)
	}
}

// Whatever call fails while a run's folder is made, the folder is free again, and a
// run of the same brief can be made in it.
func TestCreateOnAFailingDisk(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "run")
	var f *runs.Folder
	calls := failing.Each(t, func() (err error) {
		f, err = runs.Create(dir, []byte(briefText), 7, "v0.1.0")
		return err
	}, func(failed string, err error) {
		named(t, failed, err, filepath.Dir(dir))
		if f != nil {
			t.Errorf("%s fails: a folder and %v", failed, err)
		}
	})
	if len(calls) != 7 {
		t.Errorf("calls %q, want the folders and six of the brief", calls)
	}
	f.Close()
	wantFiles(t, dir, "brief.toml", "lock")
}

// Whatever call fails while a search is saved, the last that was saved whole is there
// and is gone on from; the one before is written over next, not the last.
func TestSaveOnAFailingDisk(t *testing.T) {
	dir := saved(t, 2)
	f, _, _, err := runs.Resume(dir, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	last := read(t, filepath.Join(dir, "checkpoint-b"))
	barrier := 2
	failing.Each(t, func() error { return f.Save(checkpoint(barrier)) }, func(failed string, err error) {
		named(t, failed, err, filepath.Join(dir, "checkpoint-a"))
		if string(read(t, filepath.Join(dir, "checkpoint-b"))) != string(last) {
			t.Errorf("%s fails: the last was written over", failed)
		}
		f.Close()
		want := checkpoint(1)
		if failed == "sync folder" {
			want = checkpoint(2)
		}
		got, note, err := resumed(dir)
		if err != nil || note != "" || !reflect.DeepEqual(got, want) {
			t.Errorf("%s fails: resumed at barrier %d, %q, %v, want %d", failed, got.Barrier, note, err, want.Barrier)
		}
		if f, _, _, err = runs.Resume(dir, "v0.1.0"); err != nil {
			t.Fatal(err)
		}
		if failed == "sync folder" { // the other has the turn now
			if err := f.Save(checkpoint(3)); err != nil {
				t.Fatal(err)
			}
			barrier, last = 4, read(t, filepath.Join(dir, "checkpoint-b"))
		}
	})
	f.Close()
	if got, _, err := resumed(dir); err != nil || got.Barrier != 4 {
		t.Errorf("at the end: barrier %d, %v, want 4", got.Barrier, err)
	}
}

// A run.json vouches for the files beside it, whatever call fails while one of them is
// replaced: it goes before they change, and is not written again with old sums.
func TestWriteIntoAnEndedRunOnAFailingDisk(t *testing.T) {
	dir := saved(t, 1)
	f, _, _, err := runs.Resume(dir, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Write("front.parquet", []byte("old")), f.Write("flights/part-000001.parquet", []byte("a part"))); err != nil {
		t.Fatal(err)
	}
	end := func() {
		t.Helper()
		if _, err := f.Finish(runs.Run{State: runs.Interrupted}); err != nil {
			t.Fatal(err)
		}
		f.Close()
		if f, _, _, err = runs.Resume(dir, "v0.1.0"); err != nil {
			t.Fatal(err)
		}
	}
	end()
	calls := failing.Each(t, func() error { return f.Write("front.parquet", []byte("new")) }, func(failed string, err error) {
		named(t, failed, err, dir)
		r, readErr := runs.Read(dir)
		if readErr == nil && r.Files["front.parquet"] != "" && r.Files["front.parquet"] != runs.Hash(read(t, filepath.Join(dir, "front.parquet"))) {
			t.Errorf("%s fails: run.json vouches for what is not there", failed)
		}
		if there := readErr == nil; there != (failed == "remove") {
			t.Errorf("%s fails: run.json is there: %v", failed, there)
		}
		if readErr != nil {
			if _, err := os.Lstat(filepath.Join(dir, "run.json")); !os.IsNotExist(err) {
				t.Errorf("%s fails: half a run.json: %v", failed, readErr)
			}
		}
		if f.Sum("front.parquet") == runs.Hash([]byte("new")) {
			t.Errorf("%s fails: the sum is that of what was not written", failed)
		}
		end()
	})
	if len(calls) != 8 || calls[0] != "remove" || calls[1] != "sync folder" {
		t.Errorf("calls %q, want run.json removed, its folder synced, and six of the file", calls)
	}
	f.Close()
	if got := string(read(t, filepath.Join(dir, "front.parquet"))); got != "new" {
		t.Errorf("the file holds %q", got)
	}
	if _, err := os.Lstat(filepath.Join(dir, "run.json")); !os.IsNotExist(err) {
		t.Errorf("run.json is still there: %v", err)
	}
}

// A folder of a folder is made where there is none, and a failure says which.
func TestWriteIntoAFolderOfItsOwn(t *testing.T) {
	f := create(t, filepath.Join(t.TempDir(), "r"))
	calls := failing.Each(t, func() error { return f.Write("flights/part-000001.parquet", []byte("x")) }, func(failed string, err error) {
		named(t, failed, err, filepath.Join(f.Dir, "flights"))
	})
	if len(calls) != 7 || calls[0] != "make folders" {
		t.Errorf("calls %q, want the folder made first", calls)
	}
	if calls := failing.Each(t, func() error { return f.Write("front.csv", []byte("x")) }, func(string, error) {}); len(calls) != 6 {
		t.Errorf("calls %q, want no folder made", calls)
	}
	calls = failing.Each(t, func() error {
		_, err := f.Finish(runs.Run{State: runs.Finished})
		return err
	}, func(failed string, err error) {
		named(t, failed, err, filepath.Join(f.Dir, "run.json"))
		if _, err := runs.Read(f.Dir); (err == nil) != (failed == "sync folder") {
			t.Errorf("%s fails: run.json %v", failed, err)
		}
		os.Remove(filepath.Join(f.Dir, "run.json"))
	})
	if len(calls) != 6 {
		t.Errorf("calls %q of run.json", calls)
	}
	if r, err := runs.Read(f.Dir); err != nil || len(r.Files) != 3 {
		t.Errorf("run.json %+v, %v, want the sums of three files", r.Files, err)
	}
}
