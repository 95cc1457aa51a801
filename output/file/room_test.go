package file_test

import (
	"path/filepath"
	"testing"

	"ullage/output/file"
)

func TestRoom(t *testing.T) {
	// In bytes: a disk on which a megabyte can be written has room for one.
	const megabyte = 1 << 20
	dir := t.TempDir()
	if err := file.Write(filepath.Join(dir, "f"), make([]byte, megabyte)); err != nil {
		t.Fatal(err)
	}
	free, err := file.Room(dir)
	if err != nil || free < megabyte {
		t.Errorf("Room = %d, %v, want at least a megabyte", free, err)
	}
}
