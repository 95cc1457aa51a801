// Package python gives tests an interpreter with the readers that check our
// files, the reference libraries that check our numbers, and SciPy for a second
// flight program, all at the versions pinned in requirements.txt. Start from
// Run, or from Python for the interpreter alone.
//
// It builds a virtual environment in the user's cache folder on first use, one
// for each content of requirements.txt, under a lock, so that test packages
// running side by side share it.
package python

import (
	"crypto/sha256"
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
)

//go:embed requirements.txt
var requirements []byte

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
	interpreter, err := environment()
	if err != nil {
		t.Fatalf("%v; %s", err, install)
	}
	return interpreter
}

var environment = sync.OnceValues(func() (string, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	dir := filepath.Join(cache, "ullage", fmt.Sprintf("venv-%x", sha256.Sum256(requirements))[:21])
	if err := os.MkdirAll(filepath.Dir(dir), 0o777); err != nil {
		return "", err
	}
	unlock, err := lock(dir + ".lock")
	if err != nil {
		return "", err
	}
	defer unlock()

	interpreter := filepath.Join(dir, "bin", "python")
	if runtime.GOOS == "windows" {
		interpreter = filepath.Join(dir, "Scripts", "python.exe")
	}
	// Written last: a build that was cut short has no such file.
	ready := filepath.Join(dir, "ready")
	if _, err := os.Stat(ready); err == nil {
		return interpreter, nil
	}
	if err := build(dir, interpreter); err != nil {
		return "", err
	}
	return interpreter, os.WriteFile(ready, nil, 0o666)
})

func build(dir, interpreter string) error {
	list := filepath.Join(filepath.Dir(dir), filepath.Base(dir)+".txt")
	if err := os.WriteFile(list, requirements, 0o666); err != nil {
		return err
	}
	defer os.Remove(list)
	for _, command := range [][]string{
		{"python3", "-m", "venv", "--clear", dir},
		{interpreter, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-r", list},
	} {
		out, err := exec.Command(command[0], command[1:]...).CombinedOutput()
		if err != nil {
			return fmt.Errorf("%q: %w\n%s", command, err, out)
		}
	}
	return nil
}
