package file_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ullage/output/file"
	"ullage/testdata/failing"
)

// Whatever call fails, the file holds all of the old bytes or all of the new, which
// it does only where its folder could not be synced; nothing else is left beside it,
// and the error names the file and not what it was called meanwhile.
func TestWriteOnAFailingDisk(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "front.csv")
	if err := os.WriteFile(path, []byte("old"), 0o666); err != nil {
		t.Fatal(err)
	}
	holds := func(failed, want string) {
		t.Helper()
		if got, err := os.ReadFile(path); err != nil || string(got) != want {
			t.Errorf("%s fails: the file holds %q, %v, want %q", failed, got, err, want)
		}
		wantNames(t, failed, dir, "front.csv")
	}
	calls := failing.Each(t, func() error { return file.Write(path, []byte("the new bytes")) }, func(failed string, err error) {
		if want := "write " + path + ": the disk fails"; err == nil || !errors.Is(err, failing.Err) || err.Error() != want {
			t.Errorf("%s fails: %v, want %s", failed, err, want)
		}
		if failed == "sync folder" {
			holds(failed, "the new bytes")
			return
		}
		holds(failed, "old")
	})
	if want := []string{"create", "write", "sync", "close", "rename", "sync folder"}; !slices.Equal(calls, want) {
		t.Errorf("calls %q, want %q", calls, want)
	}
	holds("nothing", "the new bytes")
	err := file.Stream(path, func(w io.Writer) error {
		_, err := w.Write([]byte("half"))
		return errors.Join(err, failing.Err)
	})
	if err == nil || err.Error() != "write "+path+": the disk fails" {
		t.Errorf("a stream that ends early: %v", err)
	}
	holds("the stream", "the new bytes")
}

// Whatever call fails, a new folder is there with all of its files or not at all.
func TestWriteFolderOnAFailingDisk(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "kit")
	files := map[string][]byte{"b.txt": []byte("second"), "a.txt": []byte("first")}
	whole := func(failed string) {
		t.Helper()
		wantNames(t, failed, parent, "kit")
		wantNames(t, failed, dir, "a.txt", "b.txt")
		for name, want := range files {
			if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != string(want) {
				t.Errorf("%s fails: %s holds %q, %v, want %q", failed, name, got, err, want)
			}
		}
	}
	made := 0
	calls := failing.Each(t, func() error { return file.WriteFolder(dir, files) }, func(failed string, err error) {
		made++
		want := "create " + dir
		if at := made - 2; at >= 0 && at < 12 {
			want = "write " + filepath.Join(dir, []string{"a.txt", "b.txt"}[at/6])
		}
		if err == nil || err.Error() != want+": the disk fails" {
			t.Errorf("call %d, %s, fails: %v, want %s", made, failed, err, want)
		}
		if made == 15 { // the last: it has its name already
			whole(failed)
			if err := os.RemoveAll(dir); err != nil {
				t.Fatal(err)
			}
			return
		}
		wantNames(t, failed, parent)
	})
	one := []string{"create", "write", "sync", "close", "rename", "sync folder"}
	if want := slices.Concat([]string{"make folder"}, one, one, []string{"rename", "sync folder"}); !slices.Equal(calls, want) {
		t.Errorf("calls %q, want %q", calls, want)
	}
	whole("nothing")
	if err := file.WriteFolder(dir+"/", files); err == nil || err.Error() != dir+": there already, want a new folder" {
		t.Errorf("a folder that is there: %v", err)
	}
	whole("nothing")
}

// wantNames checks what is in a folder, hidden files too.
func wantNames(t *testing.T, failed, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if !slices.Equal(names, want) {
		t.Errorf("%s fails: %s holds %s, want %s", failed, dir, strings.Join(names, " "), strings.Join(want, " "))
	}
}
