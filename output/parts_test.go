package output_test

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"ullage/output"
)

// sweepLayout has a goal that is varied, one that is limited, and an angle.
func sweepLayout() output.Layout {
	return output.Layout{
		Varied: []output.Quantity{{Key: "payload.mass", Unit: "kg"}, {Key: "site.tilt", Unit: "rad"}},
		Goals: []output.Quantity{
			{Key: "apogee", Unit: "m", Sense: "highest"}, {Key: "payload.mass", Unit: "kg", Sense: "highest"}, {Key: "margin", Unit: "cal", Sense: "highest"},
		},
		Limits: []output.Quantity{{Key: "margin", Unit: "cal"}, {Key: "deploy_speed", Unit: "m/s"}},
	}
}

func sweepRows(n int) output.Table {
	f := sweepLayout().NewFlights(n + 5)
	for i := range n {
		v := float64(i)
		f.Set(i, []float64{v / 7, math.Pi / 180 * v}, []output.Value{output.Of(100+v/3, true), output.Of(-v, true), output.Of(v, i%2 == 0)}, i%3 == 0, "landed")
	}
	return f.Table(n)
}

func TestFlightsTable(t *testing.T) {
	got := sweepRows(2)
	want := []output.Column{
		{Name: "payload_mass_kg", Unit: "kg", Role: output.Goal, Sense: "highest", Values: []float64{0, 1.0 / 7}},
		{Name: "site_tilt_deg", Unit: "deg", Role: output.Varied, Values: []float64{0, 1}},
		{Name: "apogee_m", Unit: "m", Role: output.Goal, Sense: "highest", Values: []output.Value{output.Of(100, true), output.Of(100+1.0/3, true)}},
		{Name: "margin_cal", Unit: "cal", Role: output.Goal, Sense: "highest", Values: []output.Value{output.Of(math.Copysign(0, -1), true), output.Of(-1, true)}},
		{Name: "deploy_speed_m_s", Unit: "m/s", Role: output.Figure, Values: []output.Value{output.Of(0, true), {}}},
		{Name: "feasible", Unit: "1", Role: output.Identity, Doc: "meets every limit", Values: []bool{true, false}},
		{Name: "outcome", Unit: "1", Role: output.Identity, Doc: "landed, or why the flight could not be computed", Values: []string{"landed", "landed"}},
	}
	if !reflect.DeepEqual(got.Columns, want) {
		t.Errorf("columns =\n%+v, want\n%+v", got.Columns, want)
	}
}

// A part of several row groups is one table to other readers.
func TestPartsAreRead(t *testing.T) {
	const rows = 1<<16 + 100 // a row group and some
	want := sweepRows(rows)
	data, err := output.EncodePart(want, testMeta())
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "part.parquet")
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	got, _, err := output.ReadParquet(path)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("the part does not read back as it was written")
	}
	for name, found := range readings(t, path) {
		if len(found.Rows) != rows {
			t.Errorf("%s: %d rows, want %d", name, len(found.Rows), rows)
			continue
		}
		for _, i := range []int{0, 1<<16 - 1, 1 << 16, rows - 1} {
			for j, c := range want.Columns {
				if !reflect.DeepEqual(found.Rows[i][j], cell(c, i)) {
					t.Errorf("%s: %s row %d = %v, want %v", name, c.Name, i, found.Rows[i][j], cell(c, i))
				}
			}
		}
	}
}

// What a row takes is foretold from a few: more of them compress no worse.
func TestPartBytes(t *testing.T) {
	told, err := output.PartBytes(sweepRows(4096), testMeta())
	if err != nil {
		t.Fatal(err)
	}
	const rows = 50000
	part, err := output.EncodePart(sweepRows(rows), testMeta())
	if err != nil {
		t.Fatal(err)
	}
	// A sweep keeps a tenth of the disk in reserve; too much must not be told
	// either, and half is the order of magnitude that decides.
	if took := float64(len(part)) / rows; took > 1.1*told || took < told/2 {
		t.Errorf("%.1f bytes a row, told %.1f", took, told)
	}
}

func TestResumeSweep(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "run")
	brief := []byte("title = \"x\"\n")
	begun := output.Sweep{Mode: "draws", Size: 30, Part: 10, Set: []string{"a=1"}, Front: []byte(`{"next":7}`)}
	folder, err := output.Create(dir, brief, 5, "v1")
	if err != nil {
		t.Fatal(err)
	}
	for _, number := range []int{3, 1, 2} { // in any order
		name := output.PartName(number)
		if err := folder.WriteFile(name, []byte(name)); err != nil {
			t.Fatal(err)
		}
		begun.Parts = append(begun.Parts, output.Part{Number: number, SHA256: folder.Sum(name), Flights: 10, Missed: []int64{1}})
	}
	if err := folder.WriteSweep(&begun); err != nil {
		t.Fatal(err)
	}
	wanted := output.Sweep{Mode: "draws", Size: 30, Part: 10, Set: []string{"a=1"}}
	if _, err := output.ResumeSweep(dir, brief, 5, "v1", &wanted); err == nil || err.Error() != dir+": in use by another process" {
		t.Errorf("ResumeSweep of a folder in use = %v", err)
	}
	folder.Close()

	other := func(change func(*output.Sweep)) output.Sweep {
		s := wanted
		change(&s)
		return s
	}
	for _, c := range []struct {
		brief   string
		seed    uint64
		version string
		s       output.Sweep
		want    string
	}{
		{"y", 5, "v1", wanted, "begun with brief " + output.Hash(brief)[:8] + ", now " + output.Hash([]byte("y"))[:8] + ", want the same"},
		{string(brief), 6, "v1", wanted, "begun with seed 5, now 6, want the same"},
		{string(brief), 5, "v2", wanted, "begun with version v1, now v2, want the same"},
		{string(brief), 5, "v1", other(func(s *output.Sweep) { s.Mode = "grid" }), "begun with a sweep of draws, now grid, want the same"},
		{string(brief), 5, "v1", other(func(s *output.Sweep) { s.Size = 31 }), "begun with flights 30, now 31, want the same"},
		{string(brief), 5, "v1", other(func(s *output.Sweep) { s.Part = 9 }), "begun with --part 10, now 9, want the same"},
		{string(brief), 5, "v1", other(func(s *output.Sweep) { s.Set = nil }), "begun with --set [a=1], now [], want the same"},
	} {
		_, err := output.ResumeSweep(dir, []byte(c.brief), c.seed, c.version, &c.s)
		if want := dir + ": " + c.want; err == nil || err.Error() != want {
			t.Errorf("ResumeSweep = %v, want %s", err, want)
		}
	}

	// One part is gone, one is changed, one is left; so is a file that was not
	// renamed in time.
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
	folder, err = output.ResumeSweep(dir, brief, 5, "v1", &wanted)
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
	r, err := folder.Finish(output.Run{State: output.Finished})
	if err != nil || len(r.Files) != 2 || r.Files["flights/part-000002.parquet"] != wanted.Parts[0].SHA256 {
		t.Errorf("files of the run %v, %v, want the brief and part 2", r.Files, err)
	}
}

func someIndices() []output.IndexRow {
	of := func(v, half float64) output.Estimate {
		return output.Estimate{Value: output.Of(v, true), Low: output.Of(v-half, true), High: output.Of(v+half, true)}
	}
	return []output.IndexRow{
		{Number: "apogee", Quantity: "fins.span", First: of(0.25, 0.5), Total: of(0.25, 0.125), Rows: 64},
		{Number: "apogee", Quantity: "chamber.throat", First: of(0.5, 0.25), Total: of(0.75, 0.25), Rows: 64},
		{Number: "proof_ratio", Quantity: "fins.span", Rows: 60},
		{Number: "proof_ratio", Quantity: "chamber.throat", Rows: 60},
	}
}

func TestIndicesText(t *testing.T) {
	wantText(t, "IndicesText", output.IndicesText(someIndices()), `apogee, from 64 rows
  quantity                 alone     with others
  chamber.throat   0.500 ± 0.250   0.750 ± 0.250
  fins.span        0.250 ± 0.500   0.250 ± 0.125
proof_ratio, from 60 rows
  does not vary, or is not known
`)
}

func TestIndicesTable(t *testing.T) {
	path := filepath.Join(t.TempDir(), "indices.parquet")
	if err := output.WriteTable(path, output.Indices(someIndices()), testMeta()); err != nil {
		t.Fatal(err)
	}
	for name, got := range readings(t, path) {
		want := [][]any{
			{"apogee", "fins.span", 0.25, -0.25, 0.75, 0.25, 0.125, 0.375, 64.0},
			{"apogee", "chamber.throat", 0.5, 0.25, 0.75, 0.75, 0.5, 1.0, 64.0},
			{"proof_ratio", "fins.span", nil, nil, nil, nil, nil, nil, 60.0},
			{"proof_ratio", "chamber.throat", nil, nil, nil, nil, nil, nil, 60.0},
		}
		if !reflect.DeepEqual(got.Rows, want) {
			t.Errorf("%s: rows %v, want %v", name, got.Rows, want)
		}
		if columns := strings.Join(got.Names, " "); columns != "number quantity first first_low first_high total total_low total_high rows" {
			t.Errorf("%s: columns %s", name, columns)
		}
	}
}

func TestRoom(t *testing.T) {
	free, err := output.Room(t.TempDir())
	if err != nil || free == 0 {
		t.Errorf("Room = %d, %v, want some", free, err)
	}
}
