package runs_test

import (
	"bufio"
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
)

const briefText = "title = \"x\"\r\n# exact bytes, \xc3\xa9\n"

func create(t *testing.T, dir string) *runs.Folder {
	t.Helper()
	f, err := runs.Create(dir, []byte(briefText), 7, "v0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func wantRefusal(t *testing.T, dir, want string) {
	t.Helper()
	f, err := runs.Create(dir, []byte("other"), 1, "v0.1.0")
	if err == nil {
		f.Close()
	}
	if want := dir + ": " + want; err == nil || err.Error() != want {
		t.Errorf("Create = %v, want %s", err, want)
	}
}

func apogees(rows int) table.Table {
	return table.Table{Columns: []table.Column{{Name: "apogee_m", Unit: "m", Role: table.Figure, Values: make([]float64, rows)}}}
}

func TestRunFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "runs", "field-day")
	f := create(t, dir)
	if err := f.WriteTable("front.parquet", apogees(3)); err != nil {
		t.Fatal(err)
	}
	if err := f.WriteTable("front.arrow", apogees(3)); err != nil {
		t.Fatal(err)
	}
	wantFiles(t, dir, "brief.toml", "front.arrow", "front.parquet", "lock")

	run := runs.Run{
		State: runs.Finished, Stop: "60000 flights", Flights: 60000, Feasible: 41000, Failed: 12, Front: 3,
		Hypervolume: 0.81, Clock: runs.Clock{Seconds: 2, FlightsPerSecond: 30000},
	}
	if _, err := f.Finish(run); err != nil {
		t.Fatal(err)
	}
	got, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Files) != 3 {
		t.Errorf("run.json names %d files, want 3", len(got.Files))
	}
	for name, sum := range got.Files {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if want := fmt.Sprintf("%x", sha256.Sum256(data)); err != nil || sum != want {
			t.Errorf("%s: sha256 %s, want %s (%v)", name, sum, want, err)
		}
	}
	if data, err := os.ReadFile(filepath.Join(dir, "brief.toml")); err != nil || string(data) != briefText {
		t.Errorf("brief.toml = %q, want %q (%v)", data, briefText, err)
	}
	run.Format, run.Version, run.Seed, run.Brief = 1, "v0.1.0", 7, runs.Hash([]byte(briefText))
	run.Go, run.CPU, run.GOAMD64, run.Files = runtime.Version(), got.CPU, got.GOAMD64, got.Files
	run.Seal = got.Seal
	if fmt.Sprint(got) != fmt.Sprint(run) {
		t.Errorf("run.json = %+v, want %+v", got, run)
	}
	if got.CPU != runtime.GOARCH {
		t.Errorf("cpu = %q, want %s", got.CPU, runtime.GOARCH)
	}
	_, meta, err := got.ReadTable(dir, "front.parquet")
	if want := (table.Meta{Brief: run.Brief, Seed: 7, Version: "v0.1.0"}); err != nil || meta != want {
		t.Errorf("front.parquet meta = %+v, want %+v (%v)", meta, want, err)
	}
}

// A changed byte of a table must be seen before the file is decoded: the
// decoder may ask for any amount of memory.
func TestChangedTableIsRefused(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	if err := f.WriteTable("front.parquet", apogees(3)); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Finish(runs.Run{State: runs.Finished}); err != nil {
		t.Fatal(err)
	}
	run, err := runs.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "front.parquet")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := range data {
		data[i] ^= 0x10
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		sum := runs.Hash(data)
		want := fmt.Sprintf("read %s: SHA-256 %.8s, run.json has %.8s", path, sum, run.Files["front.parquet"])
		if _, _, err := run.ReadTable(dir, "front.parquet"); err == nil || err.Error() != want {
			t.Fatalf("byte %d changed: %v, want %s", i, err, want)
		}
		data[i] ^= 0x10
	}
}

// The names that readers of run.json rely on.
func TestRunKeys(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	if _, err := create(t, dir).Finish(runs.Run{State: runs.Interrupted}); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(dir, "run.json"))
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]any
	if err := json.Unmarshal(data, &keys); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{
		"format", "version", "go", "cpu", "brief_sha256", "seed", "state", "stop",
		"flights", "feasible", "failed", "front", "hypervolume", "clock", "files",
	} {
		if _, ok := keys[key]; !ok {
			t.Errorf("run.json has no %q", key)
		}
	}
	if keys["state"] != "interrupted" {
		t.Errorf("state = %v, want interrupted", keys["state"])
	}
}

func TestCreateRefuses(t *testing.T) {
	root := t.TempDir()

	used := filepath.Join(root, "used")
	f := create(t, used)
	wantRefusal(t, used, "holds an unfinished run, want a new folder or to resume it")
	if _, err := f.Finish(runs.Run{State: runs.Finished}); err != nil {
		t.Fatal(err)
	}
	f.Close()
	wantRefusal(t, used, "holds a run, want a new folder")

	other := filepath.Join(root, "other")
	if err := os.MkdirAll(other, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(other, "letter.txt"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	wantRefusal(t, other, "holds other files, want a new folder")
	wantFiles(t, other, "letter.txt")

	_, err := runs.Create(filepath.Join(other, "letter.txt"), nil, 0, "")
	if want := "create " + filepath.Join(other, "letter.txt") + ": not a directory"; err == nil || err.Error() != want {
		t.Errorf("Create on a file = %v, want %s", err, want)
	}
}

// What a process killed in Create leaves must not be in the way for ever.
func TestCreateAfterAKilledCreate(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"lock", ".brief.toml.0badcafe.tmp"} {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	create(t, dir)
}

// The second process holds the lock of a folder in which it has written
// nothing yet, and is then killed.
func TestSecondWriterIsRefused(t *testing.T) {
	if dir := os.Getenv("ULLAGE_TEST_HOLD"); dir != "" {
		if _, err := runs.Create(dir, nil, 0, ""); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		// The lock alone is to refuse the other process.
		os.Remove(filepath.Join(dir, "brief.toml"))
		fmt.Println("held")
		select {}
	}
	dir := filepath.Join(t.TempDir(), "r")
	command := exec.Command(os.Args[0], "-test.run=^TestSecondWriterIsRefused$")
	command.Env = append(os.Environ(), "ULLAGE_TEST_HOLD="+dir)
	out, err := command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	defer command.Process.Kill()
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || line != "held\n" {
		t.Fatalf("second process says %q, want held (%v)", line, err)
	}
	wantRefusal(t, dir, "in use by another process")
	if err := command.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	command.Wait()
	create(t, dir)
}

func TestReadRefuses(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "run.json")
	for text, want := range map[string]string{
		"":                "damaged: unexpected end of JSON input",
		`{"format": 2}`:   "format 2, this build reads up to 1",
		`{"state": "ok"}`: "format 0, this build reads up to 1",
	} {
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if _, err := runs.Read(dir); err == nil || err.Error() != "read "+path+": "+want {
			t.Errorf("Read of %q = %v, want %s", text, err, want)
		}
	}
	// One without a seal, as older builds wrote it, has no keys but theirs.
	for text, want := range map[string]string{
		`{"format": 1, "seed": 3}`: "",
		`{"format": 1, "sead": 3}`: "read " + path + `: damaged: json: unknown field "sead"`,
	} {
		write(t, path, []byte(text))
		if _, err := runs.Read(dir); fmt.Sprint(err) != cmp.Or(want, "<nil>") {
			t.Errorf("Read of %s = %v, want %s", text, err, want)
		}
	}
	os.Remove(path)
	if _, err := runs.Read(dir); err == nil || err.Error() != "read "+path+": no such file or directory" {
		t.Errorf("Read of nothing = %v", err)
	}
}

// wantFiles checks what is in a folder.
func wantFiles(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	names := []string{}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if strings.Join(names, " ") != strings.Join(want, " ") {
		t.Errorf("%s holds %q, want %q", dir, names, want)
	}
}
