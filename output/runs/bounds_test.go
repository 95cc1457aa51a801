package runs_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ullage/output/runs"
	"ullage/output/table"
)

// Of each record that many bytes are read, and not one more: 8 MiB of JSON and of a
// brief, 256 MiB of a checkpoint, 1 GiB of a table.
func TestLongestRecords(t *testing.T) {
	const mega = 1 << 20
	for _, row := range []struct {
		name string
		most int64
		take func(dir string) error
	}{
		{"run.json", 8 * mega, func(dir string) error { _, err := runs.Read(dir); return err }},
		{"sweep.json", 8 * mega, func(dir string) error {
			f, err := runs.ResumeSweep(dir, []byte(briefText), 7, "v0.1.0", &runs.Sweep{})
			if err == nil {
				f.Close()
			}
			return err
		}},
		{"brief.toml", 8 * mega, func(dir string) error { _, _, err := resumed(dir); return err }},
		{"checkpoint-a", 256 * mega, func(dir string) error { _, _, err := resumed(dir); return err }},
		{"front.parquet", 1024 * mega, func(dir string) error {
			_, _, err := runs.Run{Files: map[string]string{}}.ReadTable(dir, "front.parquet")
			return err
		}},
	} {
		dir := saved(t, 1)
		path := filepath.Join(dir, row.name)
		refused := func(size int64) bool {
			os.Remove(path)
			write(t, path, nil)
			if err := os.Truncate(path, size); err != nil { // without blocks on the disk
				t.Fatal(err)
			}
			err := row.take(dir)
			if err == nil {
				t.Fatalf("%s of %d zeros is taken", row.name, size)
			}
			return err.Error() == fmt.Sprintf("read %s: %d bytes, want at most %d", path, size, row.most)
		}
		if !refused(row.most + 1) {
			t.Errorf("%s of a byte more than %d is not refused for that", row.name, row.most)
		}
		// To read as much takes a while.
		if row.most == 8*mega && refused(row.most) {
			t.Errorf("%s of %d bytes is refused for its length", row.name, row.most)
		}
	}
}

// A file of JSON may hold half a million values; one with a comma more is not decoded.
func TestMostValues(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "run.json")
	for values, want := range map[int]string{500_000: "", 500_001: "damaged: 500001 values, want at most 500000"} {
		set := strings.Repeat(`"",`, values-1) + `""` // and a comma before the key
		write(t, path, []byte(`{"format": 1, "set": [`+set+`]}`))
		r, err := runs.Read(dir)
		if want == "" && (err != nil || len(r.Set) != values) || want != "" && (err == nil || err.Error() != "read "+path+": "+want) {
			t.Errorf("%d values: %d, %v, want %q", values, len(r.Set), err, want)
		}
	}
}

// What a sweep may be gone on with: each thing that decides its bytes has to be the
// same, and the message names the first that is not.
func TestResumeSweepComparesEachThing(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	wanted := func() runs.Sweep {
		return runs.Sweep{Mode: "grid", Size: 25, Part: 10, Set: []string{"a=1"}, FeasibleOnly: true}
	}
	state := wanted()
	if err := f.WriteSweep(&state); err != nil {
		t.Fatal(err)
	}
	f.Close()
	path := filepath.Join(dir, "sweep.json")
	whole := read(t, path)
	resume := func(s runs.Sweep) error {
		f, err := runs.ResumeSweep(dir, []byte(briefText), 7, "v0.1.0", &s)
		if err == nil {
			f.Close()
		}
		return err
	}
	if err := resume(wanted()); err != nil {
		t.Fatal(err)
	}
	all := wanted()
	all.FeasibleOnly = false
	if err := resume(all); err == nil || err.Error() != dir+": begun with --feasible-only true, now false, want the same" {
		t.Errorf("another --feasible-only: %v", err)
	}
	// Of another build: the file is sealed anew, as that would have.
	for _, row := range []struct{ old, forged, want string }{
		{`"format": 1`, `"format": 2`, "begun with format 2, now 1, want the same"},
		{`"cpu": "`, `"cpu": "x`, "begun with machine "},
		{`"goamd64": "v1"`, `"goamd64": "v9"`, "begun with machine "},
	} {
		forged := bytes.Replace(whole, []byte(row.old), []byte(row.forged), 1)
		if bytes.Equal(forged, whole) {
			continue // there is no such level on this architecture
		}
		write(t, path, resealed(t, forged))
		if err := resume(wanted()); err == nil || !strings.HasPrefix(err.Error(), dir+": "+row.want) {
			t.Errorf("%s: %v, want %s", row.forged, err, row.want)
		}
	}
	write(t, path, []byte("{\"format\": 1, \"mode\": \"grid\", \"size\": 25, \"part\": 10}"))
	if err := resume(wanted()); err == nil || err.Error() != "read "+path+": no sha256, want a file of this version of the program" {
		t.Errorf("without a seal: %v", err)
	}
}

// resealed returns a record with the sum that its other bytes have.
func resealed(t *testing.T, data []byte) []byte {
	t.Helper()
	var s runs.Seal
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	at := bytes.LastIndex(data, []byte(s.Sum))
	rest := slices.Concat(data[:at], data[at+len(s.Sum):])
	return slices.Concat(data[:at], []byte(runs.Hash(rest)), data[at+len(s.Sum):])
}

// A sweep has at most 10 000 parts, in rising order, each of its flights, the last of
// what is left; counts of all of them may be as many as that.
func TestPartsAtTheirBounds(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	const size, part = 100_000*10 + 15, 10 // two parts more than there may be
	for _, row := range []struct {
		why   string
		parts []runs.Part
		taken bool
	}{
		{"the first", []runs.Part{{Number: 1, Flights: 10}}, true},
		{"the last that there may be", []runs.Part{{Number: 10_000, Flights: 10}}, true},
		{"one more", []runs.Part{{Number: 10_001, Flights: 10}}, false},
		{"none of its flights", []runs.Part{{Number: 1, Flights: 0}}, false},
		{"all of them within every limit", []runs.Part{{Number: 1, Flights: 10, Feasible: 10}}, true},
		{"all of them failed", []runs.Part{{Number: 1, Flights: 10, Failed: 10}}, true},
		{"each of them the one or the other", []runs.Part{{Number: 1, Flights: 10, Feasible: 4, Failed: 6}}, true},
		{"one of them both", []runs.Part{{Number: 1, Flights: 10, Feasible: 5, Failed: 6}}, false},
		{"fewer than none", []runs.Part{{Number: 1, Flights: 10, Feasible: -1}}, false},
		{"a limit that all miss", []runs.Part{{Number: 1, Flights: 10, Missed: []int64{10, 0}}}, true},
		{"a limit that more miss", []runs.Part{{Number: 1, Flights: 10, Missed: []int64{0, 11}}}, false},
		{"other limits", []runs.Part{{Number: 1, Flights: 10, Missed: []int64{0, 1}}, {Number: 2, Flights: 10, Missed: []int64{0}}}, false},
		{"the same limits", []runs.Part{{Number: 1, Flights: 10, Missed: []int64{0, 1}}, {Number: 3, Flights: 10, Missed: []int64{0, 2}}}, true},
	} {
		if got := takes(t, f, dir, runs.Sweep{Mode: "grid", Size: size, Part: part, Parts: row.parts}); got != row.taken {
			t.Errorf("%s: taken %v, want %v", row.why, got, row.taken)
		}
	}
	for flights, taken := range map[int64]bool{4: false, 5: true, 6: false, 10: false} {
		if got := takes(t, f, dir, runs.Sweep{Mode: "grid", Size: 25, Part: 10, Parts: []runs.Part{{Number: 3, Flights: flights}}}); got != taken {
			t.Errorf("%d flights in the last part of 5: taken %v", flights, got)
		}
	}
	for size, taken := range map[int64]bool{20: false, 21: true} {
		if got := takes(t, f, dir, runs.Sweep{Mode: "grid", Size: size, Part: 10, Parts: []runs.Part{{Number: 3, Flights: size - 20}}}); got != taken {
			t.Errorf("a third part of %d flights: taken %v", size, got)
		}
	}
}

// takes reports whether a sweep with these parts is gone on with.
func takes(t *testing.T, f *runs.Folder, dir string, s runs.Sweep) bool {
	t.Helper()
	f.Close()
	wanted := runs.Sweep{Mode: s.Mode, Size: s.Size, Part: s.Part}
	if err := f.WriteSweep(&s); err != nil { // it was created here, and nobody else is
		t.Fatal(err)
	}
	again, err := runs.ResumeSweep(dir, []byte(briefText), 7, "v0.1.0", &wanted)
	if err != nil {
		if !strings.Contains(err.Error(), ": damaged: part ") {
			t.Fatal(err)
		}
		return false
	}
	again.Close()
	return true
}

// A front is read where it has as many rows as run.json counts and no more, up to what
// is of use; tables of other names have no such bound.
func TestMostRowsOfAFront(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "r")
	f := create(t, dir)
	for _, row := range []struct {
		name        string
		rows, front int
		sweep       string
		want        string
	}{
		{"front.parquet", 3, 3, "", ""},
		{"front.parquet", 3, 2, "", "3 rows and more, want at most 2"},
		{"front.parquet", 0, -1, "", ""},
		{"front.parquet", 1, -1, "", "1 rows and more, want at most 0"},
		{"front.parquet", 5000, 9000, "", ""},
		{"front.parquet", 5001, 9000, "", "5001 rows and more, want at most 5000"},
		{"front.parquet", 5001, 9000, "front", ""},
		{"front.parquet", 20_000, 90_000, "front", ""},
		{"front.parquet", 20_001, 90_000, "front", "20001 rows and more, want at most 20000"},
		{"archive.parquet", 9, 3, "", ""},
		{"archive.parquet", 100_000, 3, "", ""},
		{"archive.parquet", 100_001, 3, "", "100001 rows and more, want at most 100000"},
		{"paths.parquet", 100_001, 3, "", ""},
	} {
		if err := f.WriteTable(row.name, apogees(row.rows)); err != nil {
			t.Fatal(err)
		}
		r, err := f.Finish(runs.Run{State: runs.Finished, Front: row.front, Sweep: row.sweep})
		if err != nil {
			t.Fatal(err)
		}
		rows := 0
		got, _, err := r.ReadTable(dir, row.name)
		scanned := r.ScanTable(dir, row.name, nil, func(t table.Table) error {
			rows += t.Rows()
			return nil
		})
		path := "read " + filepath.Join(dir, row.name) + ": "
		for _, err := range []error{err, scanned} {
			if row.want == "" && err != nil || row.want != "" && (err == nil || err.Error() != path+row.want) {
				t.Errorf("%s of %d rows, run.json says %d, sweep %q: %v, want %q", row.name, row.rows, row.front, row.sweep, err, row.want)
			}
		}
		if row.want == "" && (got.Rows() != row.rows || rows != row.rows) {
			t.Errorf("%s: %d rows read, %d scanned, want %d", row.name, got.Rows(), rows, row.rows)
		}
	}
}
