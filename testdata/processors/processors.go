// Package processors holds results against the classes of processor that one
// build may meet. It knows nothing of what is computed.
package processors

import (
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// leaveAt is the environment variable that names the file in which a run of the
// test on another class leaves its sum.
const leaveAt = "ULLAGE_TEST_SUM"

// Same runs the test that calls it again as on older amd64 processors, once
// without fused multiply-add and once without any of the features that Go looks
// for at run time, and reports where write then writes other bytes. The test
// must have nothing else to do, and not be a subtest.
func Same(t *testing.T, write func(w io.Writer)) {
	t.Helper()
	h := sha256.New()
	write(h)
	sum := fmt.Sprintf("%x", h.Sum(nil))
	if file := os.Getenv(leaveAt); file != "" {
		if err := os.WriteFile(file, []byte(sum), 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	for _, off := range []string{"cpu.fma=off", "cpu.all=off"} {
		file := filepath.Join(t.TempDir(), "sum")
		cmd := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^"+t.Name()+"$", "-test.count=1")
		cmd.Env = append(os.Environ(), "GODEBUG="+off, leaveAt+"="+file)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", off, err, out)
		}
		got, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != sum {
			t.Errorf("%s: sum %s, want %s: the same bytes on every amd64 machine", off, got, sum)
		}
	}
}
