package file_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"ullage/output/file"
)

// A file that says that it is empty, as those of the kernel do, and then gives more
// is one that grows while it is read.
func TestReadOfAFileThatGrows(t *testing.T) {
	const path = "/proc/self/comm"
	whole, err := os.ReadFile(path)
	if err != nil || len(whole) < 2 {
		t.Fatalf("%s: %q, %v", path, whole, err)
	}
	n := int64(len(whole))
	if got, err := file.Read(path, n); err != nil || string(got) != string(whole) {
		t.Errorf("Read of %d bytes, at most as many = %q, %v", n, got, err)
	}
	if _, err := file.Read(path, n-2); err == nil {
		t.Errorf("Read of %d bytes, at most two fewer: no fault", n)
	}
}

// A folder of a file system that cannot sync one is none the worse for it; one that
// is not there is said to be not there.
func TestSyncFolder(t *testing.T) {
	if err := file.System.SyncFolder("/proc"); err != nil {
		t.Errorf("SyncFolder of a folder of the kernel = %v", err)
	}
	dir := t.TempDir()
	if err := file.System.SyncFolder(dir); err != nil {
		t.Errorf("SyncFolder = %v", err)
	}
	if err := file.System.SyncFolder(filepath.Join(dir, "none")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("SyncFolder of nothing = %v, want that there is none", err)
	}
}
