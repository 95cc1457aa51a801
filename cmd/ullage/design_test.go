package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// TestDesignIsTakenUpAgain holds that a design of a run flies as it did in the
// search wherever a run is taken for a brief, and so does the brief that new
// writes of it: also of a rocket that was weighed, whose payload has changed
// since.
func TestDesignIsTakenUpAgain(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan := tinyRun(t, dir)
	weighed := filepath.Join(dir, "weighed")
	ullage(t, t.Context(), 0, "search", plan, "-o", weighed, "-q", "--set", "weighed.mass=900 g", "--set", "weighed.balance=720 mm", "--set", "fins.span=140 mm")
	for _, of := range []string{plan, weighed} {
		front := tableOf(t, of, "front.parquet")
		written := filepath.Join(dir, filepath.Base(of)+".toml")
		ullage(t, t.Context(), 0, "new", "--like", of, "--design", "2", written)
		for _, args := range [][]string{{of, "--design", "2"}, {written}} {
			got := figuresOf(t, args...)
			for _, name := range []string{"apogee_m", "margin_cal", "dry_mass_kg", "landing_speed_m_s"} {
				if want := numbers(t, front, name)[1]; got[name] != want {
					t.Errorf("fly %v: %s is %v, in the front of %s %v", args, name, got[name], filepath.Base(of), want)
				}
			}
		}
	}
	ullage(t, t.Context(), 0, "check", weighed)
	ullage(t, t.Context(), 2, "fly", plan, "--design", "9")
	ullage(t, t.Context(), 2, "fly", filepath.Join(dir, "tiny.toml"), "--design", "1")
	ullage(t, t.Context(), 0, "sweep", plan, "--draws", "8", "-q")
	if _, err := os.Stat(plan + "-2"); err != nil {
		t.Errorf("a sweep of a run: %v, want the next number behind it", err)
	}
	// The altimeter's log of another rocket will do: what is fitted is the design.
	fitted := filepath.Join(dir, "fitted")
	ullage(t, t.Context(), 0, "fit", plan, "--design", "2", "--observed", "apogee = 70 m ± 5 m", "-o", fitted)
	src, err := os.ReadFile(filepath.Join(fitted, "brief.toml"))
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(filepath.Join(dir, "plan.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range bytes.Lines(want) {
		if bytes.HasPrefix(line, []byte("fill")) && !bytes.Contains(src, line) {
			t.Errorf("the fitted brief lacks the design's %s", line)
		}
	}
}

func figuresOf(t *testing.T, args ...string) map[string]float64 {
	t.Helper()
	var out bytes.Buffer
	s := streams{out: &out, err: io.Discard}
	if code := s.report(run(t.Context(), append(append([]string{"ullage", "fly"}, args...), "--format", "json"), s)); code != 0 {
		t.Fatalf("fly %v: exit code %d", args, code)
	}
	var flown struct {
		Figures map[string]float64 `json:"figures"`
	}
	if err := json.Unmarshal(out.Bytes(), &flown); err != nil {
		t.Fatal(err)
	}
	return flown.Figures
}
