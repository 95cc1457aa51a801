package file_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"ullage/output/file"
)

// A file is there whole, in place of what stood there, and nothing else is left
// in its folder; what is no file is not replaced.
func TestWriteIsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "run.json")
	for _, text := range []string{"first", "", "the second is longer"} {
		if err := file.Write(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != text {
			t.Errorf("written %q: %q, %v", text, got, err)
		}
	}
	link, folder := filepath.Join(dir, "link"), filepath.Join(dir, "folder")
	if err := errors.Join(os.Symlink(path, link), os.Mkdir(folder, 0o777)); err != nil {
		t.Fatal(err)
	}
	for p, want := range map[string]string{
		link:                                 "a symbolic link, want a regular file",
		folder:                               "a folder, want a regular file",
		os.DevNull:                           "a device or a pipe, want a regular file",
		filepath.Join(dir, "none", "f.json"): "no such file or directory",
	} {
		if err := file.Write(p, []byte("x")); err == nil || err.Error() != "write "+p+": "+want {
			t.Errorf("Write to %s = %v, want %s", p, err, want)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 3 {
		t.Errorf("%v, %v, want the file, the link and the folder alone", entries, err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "the second is longer" {
		t.Errorf("the file behind the link: %q, %v", got, err)
	}
}

// The cause of a failure is said without the path, which the message names.
func TestCause(t *testing.T) {
	for _, row := range []struct{ err, want error }{
		{&fs.PathError{Op: "open", Path: "x", Err: syscall.ENOENT}, syscall.ENOENT},
		{&os.LinkError{Op: "rename", Old: "x", New: "y", Err: syscall.EXDEV}, syscall.EXDEV},
		{syscall.ENOSPC, syscall.ENOSPC},
	} {
		if got := file.Cause(row.err); !errors.Is(got, row.want) || got.Error() != row.want.Error() {
			t.Errorf("Cause(%v) = %v, want %v", row.err, got, row.want)
		}
	}
}

// A file that is not there cannot be opened.
func TestOpenNothing(t *testing.T) {
	dir := t.TempDir()
	if _, err := file.Open(filepath.Join(dir, "none"), 1); err == nil {
		t.Error("no fault for a file that is not there")
	}
}
