package file_test

import (
	"testing"

	"ullage/output/file"
)

func TestRoom(t *testing.T) {
	free, err := file.Room(t.TempDir())
	if err != nil || free == 0 {
		t.Errorf("Room = %d, %v, want some", free, err)
	}
}
