package runs_test

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
)

// What cannot be cleared away is said, in the run's folder and in that of its flights,
// and the folder is free again.
func TestOrphansThatStay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	if err := f.Write("flights/part-000001.parquet", nil); err != nil {
		t.Fatal(err)
	}
	f.Close()
	for _, in := range []string{dir, filepath.Join(dir, "flights")} {
		orphan := filepath.Join(in, ".x.0badcafe.tmp")
		write := filepath.Join(orphan, "full")
		if err := os.MkdirAll(write, 0o777); err != nil {
			t.Fatal(err)
		}
		for range 2 { // the second finds no lock held
			f, err := runs.Lock(dir)
			if err == nil {
				f.Close()
			}
			if want := "tidy " + in + ": "; err == nil || !strings.HasPrefix(err.Error(), want) || strings.Contains(err.Error(), "\n") {
				t.Errorf("Lock = %v, want %s and why", err, want)
			}
		}
		if err := os.RemoveAll(orphan); err != nil {
			t.Fatal(err)
		}
	}
	if f, err := runs.Lock(dir); err != nil {
		t.Errorf("Lock once they are gone = %v", err)
	} else {
		f.Close()
	}
}

// A folder may be closed twice, and then be taken by others.
func TestCloseTwice(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	for range 2 {
		if err := f.Close(); err != nil {
			t.Errorf("Close = %v", err)
		}
	}
	if again, err := runs.Lock(dir); err != nil {
		t.Error(err)
	} else if err := again.Close(); err != nil {
		t.Error(err)
	}
}

// A folder is no place for a run where anything but what a killed process left stands
// beside the brief, and a brief as it is wanted is needed.
func TestCreateBesideOtherFiles(t *testing.T) {
	for _, row := range []struct {
		why   string
		files map[string]string
		want  string
	}{
		{"the brief", map[string]string{"brief.toml": briefText}, ""},
		{"the brief, a lock and half a file", map[string]string{"brief.toml": briefText, "lock": "", ".front.csv.0badcafe.tmp": "x"}, ""},
		{"another brief", map[string]string{"brief.toml": briefText + "#"}, "holds an unfinished run, want a new folder or to resume it"},
		{"the brief and a checkpoint", map[string]string{"brief.toml": briefText, "checkpoint-a": ""}, "holds an unfinished run, want a new folder or to resume it"},
		{"one other file", map[string]string{"letter": briefText}, "holds other files, want a new folder"},
		{"what looks like half a file", map[string]string{"letter.0badcafe.tmp": ""}, "holds other files, want a new folder"},
		{"the brief and a run", map[string]string{"brief.toml": briefText, "run.json": "{}"}, "holds a run, want a new folder"},
		{"a run alone", map[string]string{"run.json": "{}"}, "holds a run, want a new folder"},
	} {
		dir := t.TempDir()
		for name, text := range row.files {
			write(t, filepath.Join(dir, name), []byte(text))
		}
		f, err := runs.Create(dir, []byte(briefText), 7, "v0.1.0")
		if err == nil {
			f.Close()
		}
		if row.want == "" && err != nil || row.want != "" && (err == nil || err.Error() != dir+": "+row.want) {
			t.Errorf("%s: %v, want %q", row.why, err, row.want)
		}
		if _, err := os.Lstat(filepath.Join(dir, "lock")); row.want != "" && !os.IsNotExist(err) {
			t.Errorf("%s: a lock is left in it", row.why)
		}
	}
}

// A search is gone on with by the program and the format that began it, on a machine
// that gives the same bits: each of these alone is refused.
func TestResumeComparesEachThing(t *testing.T) {
	dir := saved(t, 2)
	for _, row := range []struct{ key, forged, want string }{
		{`"format":1`, `"format":2`, "begun by version v0.1.0, this is v0.1.0"},
		{`"version":"v0.1.0"`, `"version":"v0.1.1"`, "begun by version v0.1.1, this is v0.1.0"},
		{`"go":"`, `"go":"0`, "begun with 0" + runtime.Version() + " on " + runtime.GOARCH},
		{`"cpu":"`, `"cpu":"0`, "begun with " + runtime.Version() + " on 0" + runtime.GOARCH},
	} {
		forge(t, dir, row.key, row.forged)
		if _, _, err := resumed(dir); err == nil || !strings.HasPrefix(err.Error(), dir+": "+row.want) {
			t.Errorf("%s: %v, want %s", row.forged, err, row.want)
		}
		forge(t, dir, row.forged, row.key)
	}
	if _, _, err := resumed(dir); err != nil {
		t.Errorf("put right again: %v", err)
	}
	if err := os.Remove(filepath.Join(dir, "brief.toml")); err != nil {
		t.Fatal(err)
	}
	if _, _, err := resumed(dir); err == nil || err.Error() != "read "+filepath.Join(dir, "brief.toml")+": no such file or directory" {
		t.Errorf("without its brief: %v", err)
	}
}

// A machine is named with the level it was compiled for where there is one.
func TestMachineWords(t *testing.T) {
	for want, m := range map[string]runs.Machine{
		"go1 on arm64":                m(""),
		"go1 on arm64 built for v8.1": m("v8.1"),
	} {
		if got := m.Words(); got != want {
			t.Errorf("%+v is %q, want %q", m, got, want)
		}
	}
	hash, words := runs.Build()
	if want := runtime.Version() + " on " + runtime.GOARCH; len(hash) != 64 || !strings.HasPrefix(words, want) || strings.Contains(words, " built for v") != (runtime.GOARCH == "amd64") {
		t.Errorf("Build = %q, %q, want %s and its level", hash, words, want)
	}
}

func m(level string) runs.Machine { return runs.Machine{Go: "go1", CPU: "arm64", GOAMD64: level} }

// One of a newer build is refused for its format, whatever else it holds.
func TestReadOfANewerBuild(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "run.json")
	for text, want := range map[string]string{
		fmt.Sprintf(`{"format": %d, "new": 1, "sha256": "00"}`, table.Format+1): fmt.Sprintf("format %d, this build reads up to %d", table.Format+1, table.Format),
		fmt.Sprintf(`{"format": %d, "sha256": "00"}`, table.Format):             "damaged: checksum mismatch",
		`{"format": 1, "front": "many"}`:                                        "damaged: json: cannot unmarshal string",
		`{"format": 0}`:                                                         "format 0, this build reads up to 1",
		`{"format": -1}`:                                                        "format -1, this build reads up to 1",
	} {
		write(t, path, []byte(text))
		if _, err := runs.Read(dir); err == nil || !strings.HasPrefix(err.Error(), "read "+path+": "+want) {
			t.Errorf("Read of %s = %v, want %s", text, err, want)
		}
	}
}
