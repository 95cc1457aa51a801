package outside_test

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"ullage/testdata/program"
)

func TestMain(m *testing.M) { program.Main(m) }

// ullage runs the program; it must end with that code.
func ullage(t *testing.T, want int, args ...string) {
	t.Helper()
	c := exec.CommandContext(t.Context(), "ullage", args...)
	out, err := c.CombinedOutput()
	if c.ProcessState == nil || c.ProcessState.ExitCode() != want {
		t.Fatalf("ullage %s: %v, want exit code %d: %s", strings.Join(args, " "), err, want, out)
	}
}

// tinyRun searches the tiny brief of the scripts into dir/plan.
func tinyRun(t *testing.T, dir string) (plan string) {
	t.Helper()
	rocket, err1 := os.ReadFile("../testdata/rocket.toml")
	search, err2 := os.ReadFile("../testdata/search.toml")
	brief := filepath.Join(dir, "tiny.toml")
	search = bytes.Replace(search, []byte("front = 20"), []byte("front = 8"), 1)
	if err := errors.Join(err1, err2, os.WriteFile(brief, append(rocket, search...), 0o666)); err != nil {
		t.Fatal(err)
	}
	plan = filepath.Join(dir, "plan")
	ullage(t, 0, "search", brief, "-o", plan)
	return plan
}
