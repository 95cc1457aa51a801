// Package program gives tests the program, built, and says what its runs are held
// to.
package program

import (
	"errors"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Main runs the tests of a package with the program, as it is built now, first
// where programs are looked for, and ends the process.
func Main(m *testing.M) {
	code, err := with(m.Run)
	if err != nil {
		log.Fatal(err)
	}
	os.Exit(code)
}

func with(run func() int) (code int, err error) {
	dir, err := os.MkdirTemp("", "ullage-program-")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	if out, err := exec.Command("go", "build", "-o", dir+string(filepath.Separator), "ullage/cmd/ullage").CombinedOutput(); err != nil {
		return 0, errors.Join(err, errors.New(string(out)))
	}
	if err := os.Setenv("PATH", dir+string(filepath.ListSeparator)+os.Getenv("PATH")); err != nil {
		return 0, err
	}
	return run(), nil
}

// Thorough reports whether tests that repeat something many times are to do it as
// often as the checks of .ci/run, which takes a quarter of an hour more.
func Thorough() bool { return os.Getenv("ULLAGE_THOROUGH") != "" }
