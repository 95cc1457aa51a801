package main

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"ullage/testdata/kept"
)

// A told is a test that only remembers what it was told.
type told struct {
	testing.TB
	errors []string
}

func (r *told) Helper()      {}
func (r *told) Name() string { return "TestOther/part" }
func (r *told) Errorf(format string, a ...any) {
	r.errors = append(r.errors, fmt.Sprintf(format, a...))
}

// A text is held against its record, by a package whose own tests go test ./... would
// pass over: the same passes, in which line and where in it another differs is said, and
// the record is written only where that is asked for.
func TestSame(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv(kept.Again, "1")
	was := "height 120.5\n" + strings.Repeat("x", 300) + "1y\nend\n"
	kept.Same(t, "some/figures.txt", was)
	t.Setenv(kept.Again, "")
	kept.Same(t, "some/figures.txt", was)

	for _, c := range []struct{ text, want, not string }{
		{strings.Replace(was, "120.5", "120.6", 1), "- height 120.5\n+ height 120.6", "end"},
		{strings.Replace(was, "1y", "2y", 1), "x1y\n+ xxx", strings.Repeat("x", 61)},
		{was + "more", "- \n+ more", "end"},
		{"", "- end\n+ (no such line)", "end\n- height"},
		{strings.TrimSuffix(was, "\nend\n"), "- end\n+ (no such line)", "height"},
		{strings.Repeat("line\n", 9), "and more", "and more\nand more"},
	} {
		r := &told{TB: t}
		kept.Same(r, "some/figures.txt", c.text)
		if len(r.errors) != 1 {
			t.Fatalf("%d faults of %q", len(r.errors), c.text)
		}
		said := r.errors[0]
		if !strings.Contains(said, c.want) || strings.Contains(said, c.not) || !strings.Contains(said, "-run '^TestOther$'") {
			t.Errorf("of %q is said:\n%s", c.text, said)
		}
	}
	if now, err := os.ReadFile("testdata/kept/some/figures.txt"); err != nil || string(now) != was {
		t.Errorf("the record is %q now: %v", now, err)
	}
}
