//go:build unix

package runs_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"ullage/output/runs"
)

// A lock that points elsewhere makes no file there, and one that was removed
// lets nobody in while its holder is at work.
func TestLockIsNotFooled(t *testing.T) {
	elsewhere := filepath.Join(t.TempDir(), "elsewhere")
	dir := t.TempDir()
	if err := os.Symlink(elsewhere, filepath.Join(dir, "lock")); err != nil {
		t.Fatal(err)
	}
	if _, err := runs.Create(dir, []byte(briefText), 7, "v0.1.0"); err == nil || !strings.HasPrefix(err.Error(), "create "+filepath.Join(dir, "lock")+": ") {
		t.Errorf("Create with a lock that is a link = %v, want it refused", err)
	}
	if _, err := os.Lstat(elsewhere); !os.IsNotExist(err) {
		t.Errorf("the link was followed: %v", err)
	}
	dir = filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	if err := os.Remove(filepath.Join(dir, "lock")); err != nil {
		t.Fatal(err)
	}
	if _, err := runs.Lock(dir); err == nil || err.Error() != dir+": in use by another process" {
		t.Errorf("Lock of a folder in use whose lock file is gone = %v", err)
	}
	f.Close()
	again, err := runs.Lock(dir)
	if err != nil {
		t.Fatalf("Lock of a folder that was closed = %v", err)
	}
	again.Close()
}

// What a killed process was writing goes with the next that takes the folder;
// what only looks like it stays.
func TestOrphansGo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	create(t, dir).Close()
	for _, name := range []string{".report.html.0badcafe.tmp", ".mine.tmp", "notes.0badcafe.tmp"} {
		write(t, filepath.Join(dir, name), nil)
	}
	f, err := runs.Lock(dir)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	wantFiles(t, dir, ".mine.tmp", "brief.toml", "lock", "notes.0badcafe.tmp")
}

// Records of a size that no run has are not read.
func TestHugeRecordsAreRefused(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "run.json")
	write(t, path, nil)
	if err := os.Truncate(path, 8<<30); err != nil { // without blocks on the disk
		t.Fatal(err)
	}
	if _, err := runs.Read(dir); err == nil || err.Error() != "read "+path+": 8589934592 bytes, want at most 8388608" {
		t.Errorf("Read of 8 GB = %v", err)
	}
	r := runs.Run{Files: map[string]string{"front.parquet": ""}}
	front := filepath.Join(dir, "front.parquet")
	if err := os.Rename(path, front); err != nil {
		t.Fatal(err)
	}
	if _, _, err := r.ReadTable(dir, "front.parquet"); err == nil || err.Error() != "read "+front+": 8589934592 bytes, want at most 1073741824" {
		t.Errorf("ReadTable of 8 GB = %v", err)
	}
}

// A lock that is no file, such as a pipe that never answers, is refused and stays.
func TestLockIsAFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "lock")
	if err := syscall.Mkfifo(path, 0o666); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if f, err := runs.Create(dir, []byte(briefText), 7, "v0.1.0"); err == nil || err.Error() != "create "+path+": p---------, want a regular file" {
			f.Close()
			t.Errorf("Create with a pipe for a lock = %v", err)
		}
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	create(t, dir)
}
