// Package python gives tests an interpreter with the readers that check our
// files, the reference libraries that check our numbers, SciPy for a second
// flight program, and what runs and draws notebooks, all at the versions pinned
// in requirements.txt. Start from Run, or from Python for the interpreter alone.
//
// It builds a virtual environment in the user's cache folder on first use, one
// for each content of requirements.txt. Optimiser gives benchmarks another one,
// from optimiser.txt, so that tests need not wait for it.
package python

import (
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"ullage/testdata/cache"
)

//go:embed requirements.txt
var requirements []byte

//go:embed optimiser.txt
var optimiserRequirements []byte

const install = "install Python 3.11 or later with venv and pip (Debian: apt-get install python3-venv)"

// Python returns the path of the interpreter. Where there is no python3 it
// skips the test, saying what to install; with CI=true it fails instead, as it
// does whenever the environment cannot be built.
func Python(t testing.TB) string {
	t.Helper()
	if _, err := exec.LookPath("python3"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("python3: not found; %s", install)
		}
		t.Skipf("python3: not found; %s", install)
	}
	path, err := environment()
	if err != nil {
		t.Fatalf("%v; %s", err, install)
	}
	return path
}

// Optimiser returns the path of an interpreter that has the general optimiser
// pinned in optimiser.txt. It skips the benchmark where there is none to be had.
func Optimiser(b *testing.B) string {
	b.Helper()
	path, err := optimiserEnvironment()
	if err != nil {
		b.Skipf("%v; %s", err, install)
	}
	return path
}

var (
	environment          = sync.OnceValues(func() (string, error) { return made(requirements) })
	optimiserEnvironment = sync.OnceValues(func() (string, error) { return made(optimiserRequirements) })
)

func made(list []byte) (string, error) {
	dir, err := cache.Folder("venv", list, func(dir string) error { return build(dir, list) })
	return interpreter(dir), err
}

func interpreter(dir string) string {
	if runtime.GOOS == "windows" {
		return filepath.Join(dir, "Scripts", "python.exe")
	}
	return filepath.Join(dir, "bin", "python")
}

func build(dir string, requirements []byte) error {
	list := filepath.Join(dir, "requirements.txt")
	if err := os.WriteFile(list, requirements, 0o666); err != nil {
		return err
	}
	for _, command := range [][]string{
		{"python3", "-m", "venv", dir},
		{interpreter(dir), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-r", list},
	} {
		out, err := exec.Command(command[0], command[1:]...).CombinedOutput()
		if err != nil {
			return fmt.Errorf("%q: %w\n%s", command, err, out)
		}
	}
	return nil
}
