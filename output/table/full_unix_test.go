//go:build unix

package table_test

import (
	"errors"
	"math"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"testing"

	"golang.org/x/sys/unix"

	"ullage/output/table"
)

// A full disk is played by the system's limit on the size of a file, so that
// real writes fail, one time at each byte. The limit holds for a whole process:
// the test runs itself once more.
func TestFullDiskAtEveryByte(t *testing.T) {
	if os.Getenv("ULLAGE_TEST_FULL_DISK") == "" {
		command := exec.Command(os.Args[0], "-test.run=^TestFullDiskAtEveryByte$")
		command.Env = append(os.Environ(), "ULLAGE_TEST_FULL_DISK=1")
		if out, err := command.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		return
	}
	signal.Ignore(unix.SIGXFSZ)
	small := table.Table{Columns: []table.Column{{Name: "apogee_m", Unit: "m", Values: table.Nullable{142, math.NaN()}}}}
	for _, name := range []string{"t.parquet", "t.arrow"} {
		dir := t.TempDir()
		path := filepath.Join(dir, name)
		limit(t, unix.RLIM_INFINITY)
		if err := table.Write(path, small, testMeta()); err != nil {
			t.Fatal(err)
		}
		before, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for n := range len(before) {
			limit(t, uint64(n))
			err := table.Write(path, small, testMeta())
			if want := "write " + path + ": file too large"; err == nil || err.Error() != want || !errors.Is(err, unix.EFBIG) {
				t.Fatalf("%d of %d bytes: %v, want %s", n, len(before), err, want)
			}
			after, err := os.ReadFile(path)
			if err != nil || string(after) != string(before) {
				t.Fatalf("%d of %d bytes: the last complete file is gone (%v)", n, len(before), err)
			}
			wantFiles(t, dir, name)
		}
		limit(t, uint64(len(before)))
		if err := table.Write(path, small, testMeta()); err != nil {
			t.Errorf("%d of %d bytes: %v, want it written", len(before), len(before), err)
		}
	}
	limit(t, unix.RLIM_INFINITY)
}

func limit(t *testing.T, bytes uint64) {
	t.Helper()
	if err := unix.Setrlimit(unix.RLIMIT_FSIZE, &unix.Rlimit{Cur: bytes, Max: unix.RLIM_INFINITY}); err != nil {
		t.Fatal(err)
	}
}
