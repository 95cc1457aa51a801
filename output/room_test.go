package output_test

import (
	"testing"

	"ullage/output"
)

func TestRoom(t *testing.T) {
	free, err := output.Room(t.TempDir())
	if err != nil || free == 0 {
		t.Errorf("Room = %d, %v, want some", free, err)
	}
}
