package main

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"ullage/testdata/python"
)

// A run of a run with a quantity fixed has that quantity still: other readers
// put both fronts below each other and find it in every row.
func TestRunsGoBelowEachOther(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan := tinyRun(t, dir)
	next := filepath.Join(dir, "next")
	ullage(t, t.Context(), 0, "search", plan, "-q", "-o", next, "--set", "payload.mass=150 g")
	want := slices.Concat(numbers(t, tableOf(t, plan, "front.parquet"), "payload_mass_kg"),
		numbers(t, tableOf(t, next, "front.parquet"), "payload_mass_kg"))
	if last := want[len(want)-1]; last != 0.15 {
		t.Errorf("payload of the last row is %v kg, want the 0.15 that was set", last)
	}
	question := map[string]any{
		"fronts": []string{filepath.Join(plan, "front.parquet"), filepath.Join(next, "front.parquet")}, "column": "payload_mass_kg",
	}
	var found map[string][]float64
	python.Run(t, "../../testdata/python/join_runs.py", question, &found)
	for _, reader := range []string{"pyarrow", "polars", "duckdb"} {
		if !slices.Equal(found[reader], want) {
			t.Errorf("%s finds payloads %v, want %v", reader, found[reader], want)
		}
	}
}

// Design and sample are a key of a trajectory's rows, of which none is a copy.
func TestPathsAreIndexed(t *testing.T) {
	t.Parallel()
	plan := tinyRun(t, t.TempDir())
	var found struct {
		Sizes   map[string]int
		Unique  bool
		Copies  int
		Heights []float64
	}
	python.Run(t, "../../testdata/python/index_paths.py", filepath.Join(plan, "paths.parquet"), &found)
	apogees := numbers(t, tableOf(t, plan, "front.parquet"), "apogee_m")
	if !found.Unique || found.Copies != 0 || found.Sizes["design"] != len(apogees) {
		t.Errorf("found %+v, want %d designs, a unique index, no copies", found, len(apogees))
	}
	for i, z := range found.Heights {
		if math.Abs(z-apogees[i]) > 1e-6*apogees[i] {
			t.Errorf("design %d rises to %v m in its trajectory, to %v m in the front", i+1, z, apogees[i])
		}
	}
}

// A table as CSV holds what its Parquet file holds, as pandas reads both: of a
// run, and of a flight.
func TestTablesAsCSV(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan := tinyRun(t, dir)
	var pairs [][]string
	for _, name := range []string{"front", "paths", "history"} {
		csv := filepath.Join(dir, name+".csv")
		ullage(t, t.Context(), 0, "table", plan, csv)
		pairs = append(pairs, []string{csv, filepath.Join(plan, name+".parquet")})
	}
	pair := []string{filepath.Join(dir, "flight.csv"), filepath.Join(dir, "flight.parquet")}
	for _, path := range pair {
		ullage(t, t.Context(), 0, "fly", filepath.Join(dir, "tiny.toml"), "--path", path)
	}
	var rows []int
	python.Run(t, "../../testdata/python/compare_csv.py", append(pairs, pair), &rows)
	if len(rows) != 4 || rows[0] != 8 || slices.Min(rows) == 0 {
		t.Errorf("rows %v, want 8 in the front and some in the other three", rows)
	}
}

// Every design of a run that another beats is named with one that beats it, and
// no other, as pandas finds by trying all pairs.
func TestRunsAreCompared(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plan := tinyRun(t, dir)
	next := filepath.Join(dir, "next")
	ullage(t, t.Context(), 0, "search", plan, "-q", "-o", next, "--set", "chamber.pressure=14 bar", "--set", "chamber.proof=21 bar")
	pair := []string{filepath.Join(dir, "both.csv"), filepath.Join(dir, "both.parquet")}
	for _, path := range pair {
		ullage(t, t.Context(), 0, "compare", plan, next, "-o", path)
	}
	var rows []int
	python.Run(t, "../../testdata/python/compare_csv.py", [][]string{pair}, &rows)
	var found struct {
		Beaten, Wrong int
		Pressures     map[string][]float64
	}
	python.Run(t, "../../testdata/python/who_beats.py", map[string]any{"path": pair[1], "goals": []string{"apogee_m", "payload_mass_kg"}}, &found)
	if len(rows) != 1 || rows[0] != 16 || found.Wrong != 0 || found.Beaten == 0 {
		t.Errorf("rows %v, %+v, want 16, some beaten, none wrong", rows, found)
	}
	if p, q := found.Pressures[plan], found.Pressures[next]; len(p) != 1 || len(q) != 1 || p[0] == q[0] || q[0] != 14e5 {
		t.Errorf("pressures %v, want one a run, 14 bar in the second", found.Pressures)
	}
}

// The flights of a sweep are numbered by its plan, joined with its constants by
// the run's id, and ordered so that groups of rows are skipped; those that meet
// every limit are kept alone where that is asked for.
func TestSweepsAreJoined(t *testing.T) {
	t.Parallel()
	b, dir := sweepBrief(t), t.TempDir()
	type joined struct {
		Flights, Feasible []int
		Proofs            []float64
		Groups, Needed    int
	}
	found := map[string]joined{}
	for name, more := range map[string][]string{"all": nil, "kept": {"--feasible-only"}} {
		run := filepath.Join(dir, name)
		// Two groups of rows in the one part.
		if err := sweepQuietly(t.Context(), append([]string{b, "-o", run, "--draws", "70000"}, more...)...); err != nil {
			t.Fatal(err)
		}
		var of joined
		python.Run(t, "../../testdata/python/join_sweep.py", map[string]string{"run": run, "quantity": "fins_span_m"}, &of)
		found[name] = of
	}
	all, kept := found["all"], found["kept"]
	for i, n := range all.Flights {
		if n != i+1 {
			t.Fatalf("flight %d in place %d", n, i+1)
		}
	}
	if len(all.Flights) != 70000 || all.Groups != 2 || all.Needed != 1 || len(all.Proofs) != 1 || all.Proofs[0] != 22.5e5 {
		t.Errorf("%d flights in %d groups of which %d are needed, proofs %v, want 70000, 2, 1, 22.5 bar", len(all.Flights), all.Groups, all.Needed, all.Proofs)
	}
	if len(kept.Flights) == 0 || !slices.Equal(kept.Flights, all.Feasible) || !slices.Equal(kept.Feasible, all.Feasible) {
		t.Errorf("%d flights kept, want the %d that are feasible", len(kept.Flights), len(all.Feasible))
	}
}
