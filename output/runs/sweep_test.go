package runs_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ullage/output/runs"
)

// begunSweep makes the folder of a sweep of three parts and returns it with what is
// asked for when it goes on.
func begunSweep(t *testing.T) (dir string, brief []byte, wanted runs.Sweep) {
	t.Helper()
	dir, brief = filepath.Join(t.TempDir(), "run"), []byte("title = \"x\"\n")
	begun := runs.Sweep{Mode: "draws", Size: 30, Part: 10, Set: []string{"a=1"}, Front: []byte(`{"next":7}`)}
	folder, err := runs.Create(dir, brief, 5, "v1")
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	for _, number := range []int{3, 1, 2} { // in any order
		name := runs.PartName(number)
		if err := folder.Write(name, []byte(name)); err != nil {
			t.Fatal(err)
		}
		begun.Parts = append(begun.Parts, runs.Part{Number: number, SHA256: folder.Sum(name), Flights: 10, Missed: []int64{1}})
	}
	if err := folder.WriteSweep(&begun); err != nil {
		t.Fatal(err)
	}
	wanted = runs.Sweep{Mode: "draws", Size: 30, Part: 10, Set: []string{"a=1"}}
	if _, err := runs.ResumeSweep(dir, brief, 5, "v1", &wanted); err == nil || err.Error() != dir+": in use by another process" {
		t.Errorf("ResumeSweep of a folder in use = %v", err)
	}
	return dir, brief, wanted
}

func TestResumeOtherSweep(t *testing.T) {
	dir, brief, wanted := begunSweep(t)
	other := func(change func(*runs.Sweep)) runs.Sweep {
		s := wanted
		change(&s)
		return s
	}
	for _, c := range []struct {
		brief   string
		seed    uint64
		version string
		s       runs.Sweep
		want    string
	}{
		{"y", 5, "v1", wanted, "begun with brief " + runs.Hash(brief)[:8] + ", now " + runs.Hash([]byte("y"))[:8] + ", want the same"},
		{string(brief), 6, "v1", wanted, "begun with seed 5, now 6, want the same"},
		{string(brief), 5, "v2", wanted, "begun with version v1, now v2, want the same"},
		{string(brief), 5, "v1", other(func(s *runs.Sweep) { s.Mode = "grid" }), "begun with a sweep of draws, now grid, want the same"},
		{string(brief), 5, "v1", other(func(s *runs.Sweep) { s.Size = 31 }), "begun with flights 30, now 31, want the same"},
		{string(brief), 5, "v1", other(func(s *runs.Sweep) { s.Part = 9 }), "begun with --part 10, now 9, want the same"},
		{string(brief), 5, "v1", other(func(s *runs.Sweep) { s.Set = nil }), "begun with --set [a=1], now [], want the same"},
	} {
		_, err := runs.ResumeSweep(dir, []byte(c.brief), c.seed, c.version, &c.s)
		if want := dir + ": " + c.want; err == nil || err.Error() != want {
			t.Errorf("ResumeSweep = %v, want %s", err, want)
		}
	}
}

// spoilt are parts that no sweep can have.
var spoilt = []func(p []runs.Part){
	func(p []runs.Part) { p[1].Number = 1 },
	func(p []runs.Part) { p[0].Number = 0 },
	func(p []runs.Part) { p[2].Number = 4 },
	func(p []runs.Part) { p[0].Flights = 11 },
	func(p []runs.Part) { p[0].Flights = 9 },
	func(p []runs.Part) { p[0].Feasible = 11 },
	func(p []runs.Part) { p[0].Feasible, p[0].Failed = 6, 5 },
	func(p []runs.Part) { p[0].Failed = -1 },
	func(p []runs.Part) { p[0].Missed[0] = 11 },
	func(p []runs.Part) { p[1].Missed = []int64{1, 1} },
}

// What no sweep can have done is refused before a part is read.
func TestResumeSpoiltSweep(t *testing.T) {
	dir, brief, wanted := begunSweep(t)
	sound, err := os.ReadFile(filepath.Join(dir, "sweep.json"))
	if err != nil {
		t.Fatal(err)
	}
	for i, spoil := range spoilt {
		folder, err := runs.ResumeSweep(dir, brief, 5, "v1", &wanted)
		if err != nil {
			t.Fatal(err)
		}
		bad := wanted
		bad.Parts = nil
		for _, p := range wanted.Parts {
			p.Missed = slices.Clone(p.Missed)
			bad.Parts = append(bad.Parts, p)
		}
		spoil(bad.Parts)
		if err := folder.WriteSweep(&bad); err != nil {
			t.Fatal(err)
		}
		folder.Close()
		if folder, err := runs.ResumeSweep(dir, brief, 5, "v1", &wanted); err == nil || !strings.HasPrefix(err.Error(), "read "+filepath.Join(dir, "sweep.json")+": damaged: part ") {
			folder.Close()
			t.Errorf("ResumeSweep of spoilt parts %d = %v, want them refused", i, err)
		}
		if err := os.WriteFile(filepath.Join(dir, "sweep.json"), sound, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// One part is gone, one is changed, one is left; so is a file that was not renamed in
// time.
func TestResumeSweep(t *testing.T) {
	dir, brief, wanted := begunSweep(t)
	flights := filepath.Join(dir, "flights")
	stray := filepath.Join(flights, ".part-000002.parquet.00000000.tmp")
	for _, err := range []error{
		os.Remove(filepath.Join(flights, "part-000001.parquet")),
		os.WriteFile(filepath.Join(flights, "part-000003.parquet"), []byte("PAR1"), 0o666),
		os.WriteFile(stray, []byte("PAR1"), 0o666),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	folder, err := runs.ResumeSweep(dir, brief, 5, "v1", &wanted)
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	if len(wanted.Parts) != 1 || wanted.Parts[0].Number != 2 || !strings.Contains(string(wanted.Front), "7") {
		t.Errorf("resumed with %+v, want part 2 and the front", wanted)
	}
	if _, err := os.Stat(stray); !os.IsNotExist(err) {
		t.Errorf("stat %s: %v, want it gone", stray, err)
	}
	r, err := folder.Finish(runs.Run{State: runs.Finished})
	if err != nil || len(r.Files) != 3 || r.Files["sweep.json"] == "" || r.Files["flights/part-000002.parquet"] != wanted.Parts[0].SHA256 {
		t.Errorf("files of the run %v, %v, want the brief, sweep.json and part 2", r.Files, err)
	}
}
