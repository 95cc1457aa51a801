package strained_test

import (
	"os"
	"testing"

	"ullage/testdata/program"
)

func TestMain(m *testing.M) { program.Main(m) }

// exitInterrupted is the code of the program where it was told to stop.
const exitInterrupted = 130

// write writes a file of a test.
func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
}
