package runs_test

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"ullage/output/runs"
)

// Whatever bit of run.json or sweep.json is turned and wherever they are cut,
// they are not taken for what was written, and the message names the file.
func TestDamagedRecords(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	state := runs.Sweep{Mode: "grid", Size: 30, Part: 10, Set: []string{"a=1"}, Front: []byte(`{"next":7}`)}
	if err := f.WriteSweep(&state); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Finish(runs.Run{State: runs.Finished, Stop: "60000 flights", Flights: 60000, Set: []string{"a=1"}}); err != nil {
		t.Fatal(err)
	}
	f.Close()
	for name, take := range map[string]func() error{
		"run.json": func() error {
			_, err := runs.Read(dir)
			return err
		},
		"sweep.json": func() error {
			wanted := runs.Sweep{Mode: "grid", Size: 30, Part: 10, Set: []string{"a=1"}}
			f, err := runs.ResumeSweep(dir, []byte(briefText), 7, "v0.1.0", &wanted)
			if err == nil {
				f.Close()
			}
			return err
		},
	} {
		path := filepath.Join(dir, name)
		whole := read(t, path)
		if err := take(); err != nil {
			t.Fatalf("%s undamaged: %v", name, err)
		}
		wrong := func(what string, i int, damaged []byte) {
			t.Helper()
			write(t, path, damaged)
			if err := take(); err == nil || !strings.HasPrefix(err.Error(), "read "+path+": ") {
				t.Fatalf("%s: byte %d %s: %v, want an error that names the file", name, i, what, err)
			}
		}
		damaged := bytes.Clone(whole)
		for i := range whole {
			if i < len(whole)-1 { // the last is a line's end that nobody needs
				wrong("the last", i, whole[:i])
			}
			for bit := range 8 {
				damaged[i] ^= 1 << bit
				wrong("changed", i, damaged)
				damaged[i] ^= 1 << bit
			}
		}
		write(t, path, whole)
		t.Logf("%s: %d bits turned, %d cuts", name, 8*len(whole), len(whole)-1)
	}
}
