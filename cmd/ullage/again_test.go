package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
	"ullage/testdata/program"
)

// tinyRun searches the tiny brief of the scripts, with a front of 8, into
// dir/plan.
func tinyRun(t *testing.T, dir string) (plan string) {
	t.Helper()
	rocket, err1 := os.ReadFile("testdata/rocket.toml")
	search, err2 := os.ReadFile("testdata/search.toml")
	brief := filepath.Join(dir, "tiny.toml")
	search = bytes.Replace(search, []byte("front = 20"), []byte("front = 8"), 1)
	if err := errors.Join(err1, err2, os.WriteFile(brief, append(rocket, search...), 0o666)); err != nil {
		t.Fatal(err)
	}
	plan = filepath.Join(dir, "plan")
	ullage(t, t.Context(), 0, "search", brief, "-o", plan)
	return plan
}

// ullage runs the program in this process; it must end with that code.
func ullage(t *testing.T, ctx context.Context, want int, args ...string) {
	t.Helper()
	var report strings.Builder
	s := streams{out: io.Discard, err: &report}
	if code := s.report(run(ctx, append([]string{"ullage"}, args...), s)); code != want {
		t.Fatalf("ullage %s: exit code %d, want %d: %s", strings.Join(args, " "), code, want, report.String())
	}
}

// write writes a file of a test.
func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

func tableOf(t *testing.T, dir, name string) table.Table {
	t.Helper()
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := r.ReadTable(dir, name)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func numbers(t *testing.T, found table.Table, name string) []float64 {
	t.Helper()
	for _, c := range found.Columns {
		switch v := c.Values.(type) {
		case []float64:
			if c.Name == name {
				return v
			}
		case table.Nullable:
			if c.Name == name {
				return v
			}
		}
	}
	t.Fatalf("no column %s", name)
	return nil
}

// The archive repeats the front and goes on with the designs that were not
// chosen for it, in the same columns.
func TestArchiveGoesOnBehindTheFront(t *testing.T) {
	t.Parallel()
	plan := tinyRun(t, t.TempDir())
	front, archive := tableOf(t, plan, "front.parquet"), tableOf(t, plan, "archive.parquet")
	if front.Rows() != 8 || archive.Rows() <= 8 || len(front.Columns) != len(archive.Columns) {
		t.Fatalf("%d rows of %d columns in the front, %d of %d in the archive, want 8 of as many as in the archive, and more",
			front.Rows(), len(front.Columns), archive.Rows(), len(archive.Columns))
	}
	for i, want := range front.Columns {
		got := archive.Columns[i]
		values := reflect.ValueOf(got.Values)
		// As texts, for what is not there is NaN, which no number equals.
		if got.Values = values.Slice(0, front.Rows()).Interface(); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("column %s begins otherwise than in the front", want.Name)
		}
	}
	apogee, payload := numbers(t, archive, "apogee_m"), numbers(t, archive, "payload_mass_kg")
	for i := range apogee {
		for j := range apogee {
			if apogee[j] > apogee[i] && payload[j] > payload[i] {
				t.Errorf("design %d beats design %d", j+1, i+1)
			}
		}
	}
	for _, c := range archive.Columns {
		if v, ok := c.Values.([]int32); ok && c.Name == "design" {
			for i, n := range v {
				if int(n) != i+1 {
					t.Errorf("row %d is design %d", i+1, n)
				}
			}
		}
		if v, ok := c.Values.([]bool); ok && c.Name == "knee" && slices.Contains(v[1:], true) {
			t.Error("a knee behind the first row")
		}
	}
}

// The designs that a search began with are those of the front, without what is
// fixed now, each once.
func TestWeighInBeginsWithTheFront(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan, next := tinyRun(t, dir), filepath.Join(dir, "next")
	ullage(t, t.Context(), 0, "search", plan, "-o", next, "--set", "fins.span=130 mm", "--set", "chamber.throat=11 mm")
	_, checkpoint, _, err := runs.Resume(next, version())
	if err != nil {
		t.Fatal(err)
	}
	payloads := numbers(t, tableOf(t, plan, "front.parquet"), "payload_mass_kg")
	var want [][]float64
	for i, v := range payloads {
		if !slices.Contains(payloads[:i], v) {
			want = append(want, []float64{v})
		}
	}
	if !reflect.DeepEqual(checkpoint.First, want) || len(want) < 2 {
		t.Errorf("begun with %v, want %v", checkpoint.First, want)
	}
}

// A search that was interrupted before its first flight keeps the designs that
// it was to begin with, though the run that they came from is gone.
func TestResumeWithoutTheOrigin(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan := tinyRun(t, dir)
	whole, next := filepath.Join(dir, "whole"), filepath.Join(dir, "next")
	args := []string{"search", plan, "--set", "chamber.throat=11 mm", "-o"}
	ullage(t, t.Context(), 0, append(args, whole)...)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	ullage(t, ctx, exitInterrupted, append(args, next)...)
	if err := os.RemoveAll(plan); err != nil {
		t.Fatal(err)
	}
	ullage(t, t.Context(), 0, "search", next, "--resume")
	program.SameRun(t, next, whole)
	// Without that front it would have been another search.
	other := filepath.Join(dir, "other")
	ullage(t, t.Context(), 0, "search", filepath.Join(dir, "tiny.toml"), "--set", "chamber.throat=11 mm", "-o", other)
	a, err1 := os.ReadFile(filepath.Join(other, "archive.parquet"))
	b, err2 := os.ReadFile(filepath.Join(whole, "archive.parquet"))
	if err1 != nil || err2 != nil || string(a) == string(b) {
		t.Errorf("the front that a search begins with makes no difference (%v, %v)", err1, err2)
	}
}

func TestReplaced(t *testing.T) {
	got := replaced([]string{"a.b=1", "c.d = 2", "e.f=3"}, []string{"c.d=4", "g.h=5"})
	if want := []string{"a.b=1", "e.f=3", "c.d=4", "g.h=5"}; !slices.Equal(got, want) {
		t.Errorf("replaced = %q, want %q", got, want)
	}
}

func TestNextFolder(t *testing.T) {
	dir := t.TempDir()
	for _, taken := range []string{"a", "a-2", "a-3", "b-1"} {
		if err := os.Mkdir(filepath.Join(dir, taken), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for run, want := range map[string]string{"a": "a-4", "a-2": "a-4", "a-3/": "a-4", "a-7": "a-8", "b-1": "b-1-2", "c": "c-2"} {
		if got := nextFolder(dir + "/" + run); got != filepath.Join(dir, want) {
			t.Errorf("nextFolder(%s) = %s, want %s", run, got, want)
		}
	}
}
