package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
)

// What this build writes keeps every column, with its type, unit and role, and
// every key of run.json of the run that was kept of its format. What is missing
// here is a reason to raise output.Format; what is new is not.
func TestFormatIsKept(t *testing.T) {
	kept := fmt.Sprintf("../../testdata/golden/format-%d", table.Format)
	dir := filepath.Join(t.TempDir(), "run")
	var printed bytes.Buffer
	s := streams{out: &printed, err: &printed}
	args := []string{"ullage", "search", filepath.Join(kept, "brief.toml"), "--seed", "18446744073709551615", "-q", "-o", dir}
	if code := s.report(run(context.Background(), args, s)); code != 0 {
		t.Fatalf("search: exit code %d\n%s", code, &printed)
	}
	was, is := runOf(t, kept), runOf(t, dir)
	for name := range was.Files {
		if is.Files[name] == "" {
			t.Errorf("run.json names no %s", name)
		}
		if filepath.Ext(name) != ".parquet" {
			continue
		}
		before, now := columnsOf(t, was, kept, name), columnsOf(t, is, dir, name)
		for column, want := range before {
			if got := now[column]; got != want {
				t.Errorf("%s: column %s is %+v, want %+v", name, column, got, want)
			}
		}
	}
	keysKept(t, "run.json", keysOf(t, kept), keysOf(t, dir))
}

func runOf(t *testing.T, dir string) runs.Run {
	t.Helper()
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A columnFace is what a reader of a column relies on.
type columnFace struct{ kind, unit, role, sense string }

func columnsOf(t *testing.T, r runs.Run, dir, name string) map[string]columnFace {
	t.Helper()
	table, _, err := r.ReadTable(dir, name)
	if err != nil {
		t.Fatal(err)
	}
	faces := map[string]columnFace{}
	for _, c := range table.Columns {
		faces[c.Name] = columnFace{reflect.TypeOf(c.Values).String(), c.Unit, string(c.Role), c.Sense}
	}
	return faces
}

func keysOf(t *testing.T, dir string) map[string]any {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "run.json"))
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]any
	if err := json.Unmarshal(data, &keys); err != nil {
		t.Fatal(err)
	}
	return keys
}

// keysKept compares the keys and the types of their values.
func keysKept(t *testing.T, place string, was, is map[string]any) {
	t.Helper()
	for key, before := range was {
		now := is[key]
		if reflect.TypeOf(now) != reflect.TypeOf(before) {
			t.Errorf("%s: %s is a %T, want a %T", place, key, now, before)
			continue
		}
		if inner, ok := before.(map[string]any); ok {
			keysKept(t, place+" "+key, inner, now.(map[string]any))
		}
	}
}
