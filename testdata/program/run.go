package program

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"ullage/output/runs"
)

// Barriers returns how far the checkpoints of a folder go, −1 where there is
// none. Neither is ever less than whole.
func Barriers(t *testing.T, dir string) int {
	t.Helper()
	last := -1
	for _, name := range []string{"checkpoint-a", "checkpoint-b"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if os.IsNotExist(err) {
			continue
		}
		var head struct{ Barrier int }
		line, _, _ := bytes.Cut(data, []byte("\n"))
		if err := json.Unmarshal(line, &head); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		last = max(last, head.Barrier)
	}
	return last
}

// SoundRun holds that a run.json, if there is one, tells the truth.
func SoundRun(t *testing.T, dir string) {
	t.Helper()
	if _, err := os.Stat(filepath.Join(dir, "run.json")); os.IsNotExist(err) {
		return
	}
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	for name, sum := range r.Files {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || runs.Hash(data) != sum {
			t.Errorf("%s/%s is not what run.json says (%v)", dir, name, err)
		}
	}
}

// SameRun compares two runs, but for what tells the time.
func SameRun(t *testing.T, got, want string) {
	t.Helper()
	for _, name := range []string{"brief.toml", "front.parquet", "front.arrow", "archive.parquet", "paths.parquet"} {
		a, err1 := os.ReadFile(filepath.Join(got, name))
		b, err2 := os.ReadFile(filepath.Join(want, name))
		if err1 != nil || err2 != nil || !bytes.Equal(a, b) {
			t.Errorf("%s/%s differs from an undisturbed run's (%v, %v)", got, name, err1, err2)
		}
	}
	if a, b := timeless(t, got), timeless(t, want); !reflect.DeepEqual(a, b) {
		t.Errorf("%s: %+v, want %+v", got, a, b)
	}
}

// timeless reads run.json and history.parquet without their times.
func timeless(t *testing.T, dir string) any {
	t.Helper()
	r, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	history, _, err := r.ReadTable(dir, "history.parquet")
	if err != nil {
		t.Fatal(err)
	}
	last := len(history.Columns) - 1
	if seconds, ok := history.Columns[last].Values.([]float64); !ok || history.Columns[last].Name != "seconds" || !rising(seconds) {
		t.Errorf("%s: the last column of the history is %+v, want rising seconds", dir, history.Columns[last])
	}
	history.Columns = history.Columns[:last]
	r.Clock, r.Seal = runs.Clock{}, runs.Seal{}
	delete(r.Files, "history.parquet")
	return []any{r, history}
}

func rising(values []float64) bool {
	for i := 1; i < len(values); i++ {
		if values[i] < values[i-1] {
			return false
		}
	}
	return true
}
