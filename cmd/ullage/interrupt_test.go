package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"path/filepath"
	"testing"

	"ullage/output/runs"
)

// TestInterruptWhileReading ends a read of standard input that nobody answers.
func TestInterruptWhileReading(t *testing.T) {
	in, typing := io.Pipe()
	defer typing.Close()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var out, report bytes.Buffer
	s := streams{in: in, out: &out, err: &report}
	err := run(ctx, []string{"ullage", "check", "-"}, s)
	var c coded
	if !errors.As(err, &c) || c.code != exitInterrupted || err.Error() != "standard input: interrupted" {
		t.Errorf("check - = %v, want standard input: interrupted, code %d", err, exitInterrupted)
	}
}

// TestInterruptBeforeTheFirstFlight still leaves a whole run.
func TestInterruptBeforeTheFirstFlight(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	dir := filepath.Join(t.TempDir(), "run")
	s := streams{out: io.Discard, err: io.Discard}
	err := run(ctx, []string{"ullage", "search", "../../testdata/briefs/field-day.toml", "-o", dir}, s)
	var c coded
	if !errors.As(err, &c) || c.code != exitInterrupted {
		t.Errorf("search = %v, want code %d", err, exitInterrupted)
	}
	r, err := runs.Read(dir)
	if err != nil || r.State != runs.Interrupted || r.Flights != 0 || len(r.Files) != 6 {
		t.Errorf("run = %+v, %v, want 6 files of an interrupted run of 0 flights", r, err)
	}
}
