package outside_test

import (
	"os"
	"path/filepath"
	"testing"
)

// A run of every format has a report.
func TestReportsOfOldRuns(t *testing.T) {
	runs, err := filepath.Glob("../../../testdata/golden/format-*")
	if err != nil || len(runs) == 0 {
		t.Fatalf("runs %q, %v, want one of each format", runs, err)
	}
	for _, run := range runs {
		dir := filepath.Join(t.TempDir(), "run")
		if err := os.CopyFS(dir, os.DirFS(run)); err != nil {
			t.Fatal(err)
		}
		ullage(t, 0, "report", dir)
		if page, err := os.Stat(filepath.Join(dir, "report.html")); err != nil || page.Size() < 1e6 {
			t.Errorf("%s: report %v, %v, want a page with its charts", run, page, err)
		}
	}
}
