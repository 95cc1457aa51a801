package table_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v15/arrow/array"
	"github.com/apache/arrow/go/v15/arrow/ipc"

	"ullage/output/runs"
	"ullage/output/table"
	"ullage/testdata/javascript"
)

// golden returns the folder of the run that was kept of a format.
func golden(format int) string { return fmt.Sprintf("../../testdata/golden/format-%d", format) }

// eachFormat runs a test on the run kept of every format so far: raising
// Format without keeping one fails.
func eachFormat(t *testing.T, test func(t *testing.T, dir string, r runs.Run)) {
	for format := 1; format <= table.Format; format++ {
		t.Run(strconv.Itoa(format), func(t *testing.T) {
			r, err := runs.Read(golden(format))
			if err != nil {
				t.Fatal(err)
			}
			if r.Format != format {
				t.Fatalf("%s is of format %d", golden(format), r.Format)
			}
			test(t, golden(format), r)
		})
	}
}

func tableOf(t *testing.T, r runs.Run, dir, name string) table.Table {
	t.Helper()
	found, meta, err := r.ReadTable(dir, name)
	if err != nil {
		t.Fatal(err)
	}
	if meta.Brief != r.Brief || meta.Seed != r.Seed || meta.Version != r.Version {
		t.Errorf("%s says %+v, run.json brief %s, seed %d, version %s", name, meta, r.Brief, r.Seed, r.Version)
	}
	return found
}

// This build reads in the files of every format what polars read in them when
// they were written.
func TestReadsEveryFormat(t *testing.T) {
	eachFormat(t, func(t *testing.T, dir string, r runs.Run) {
		for _, name := range []string{"front", "history"} {
			matches(t, tableOf(t, r, dir, name+".parquet"), filepath.Join(dir, name+".csv"))
		}
		front, archive := tableOf(t, r, dir, "front.parquet"), tableOf(t, r, dir, "archive.parquet")
		if front.Rows() != r.Front || archive.Rows() < front.Rows() {
			t.Errorf("%d and %d rows in front and archive, want %d and no fewer", front.Rows(), archive.Rows(), r.Front)
		}
		// The highest point is a sample of a trajectory.
		paths := tableOf(t, r, dir, "paths.parquet")
		design := named(t, paths, "design").Values.([]int32)
		highest := make([]float64, front.Rows())
		for i, z := range named(t, paths, "z_m").Values.(table.Nullable) {
			highest[design[i]-1] = max(highest[design[i]-1], z)
		}
		for i, apogee := range named(t, front, "apogee_m").Values.(table.Nullable) {
			// Both are of one flight; 1e-9 m is the rounding of one interpolant.
			if math.Abs(highest[i]-apogee) > 1e-9 {
				t.Errorf("design %d: path up to %v m, apogee %v m", i+1, highest[i], apogee)
			}
		}
		brief, err := os.ReadFile(filepath.Join(dir, "brief.toml"))
		if err != nil {
			t.Fatal(err)
		}
		if runs.Hash(brief) != r.Brief {
			t.Errorf("brief.toml has hash %s, run.json %s", runs.Hash(brief), r.Brief)
		}
	})
}

func named(t *testing.T, found table.Table, name string) table.Column {
	t.Helper()
	i := slices.IndexFunc(found.Columns, func(c table.Column) bool { return c.Name == name })
	if i < 0 {
		t.Fatalf("no column %s", name)
	}
	return found.Columns[i]
}

// matches compares a table with its twin in CSV, to the last digit.
func matches(t *testing.T, got table.Table, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(want)-1 != got.Rows() || len(want[0]) != len(got.Columns) {
		t.Fatalf("%d rows of %d columns, want %d of %d as in %s", got.Rows(), len(got.Columns), len(want)-1, len(want[0]), path)
	}
	for j, c := range got.Columns {
		if c.Name != want[0][j] {
			t.Errorf("column %d is %s, want %s", j, c.Name, want[0][j])
		}
		for i, row := range want[1:] {
			if !same(cell(c, i), row[j]) {
				t.Errorf("%s row %d = %v, want %s", c.Name, i, cell(c, i), row[j])
			}
		}
	}
}

// same reports whether a value is what a CSV holds of it.
func same(v any, text string) bool {
	switch v := v.(type) {
	case nil:
		return text == ""
	case float64:
		want, err := strconv.ParseFloat(text, 64)
		return err == nil && v == want
	case bool:
		return strconv.FormatBool(v) == text
	case string:
		return v == text
	case []any:
		texts := make([]string, len(v))
		for i := range v {
			texts[i] = fmt.Sprint(v[i])
		}
		return strings.Join(texts, ";") == text
	}
	return false
}

// The Arrow file holds what the Parquet file does.
func TestArrowFileOfEveryFormat(t *testing.T) {
	eachFormat(t, func(t *testing.T, dir string, r runs.Run) {
		want := tableOf(t, r, dir, "front.parquet")
		f, err := os.Open(filepath.Join(dir, "front.arrow"))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		reader, err := ipc.NewFileReader(f)
		if err != nil {
			t.Fatal(err)
		}
		defer reader.Close()
		record, err := reader.Record(0)
		if err != nil {
			t.Fatal(err)
		}
		if reader.NumRecords() != 1 || int(record.NumCols()) != len(want.Columns) || int(record.NumRows()) != want.Rows() {
			t.Fatalf("%d records, the first %d × %d, want 1, %d × %d", reader.NumRecords(), record.NumRows(), record.NumCols(),
				want.Rows(), len(want.Columns))
		}
		for j, c := range want.Columns {
			field := record.Schema().Field(j)
			if unit, _ := field.Metadata.GetValue("unit"); field.Name != c.Name || unit != c.Unit {
				t.Errorf("column %d is %s in %q, want %s in %q", j, field.Name, unit, c.Name, c.Unit)
			}
			for i := range want.Rows() {
				v := cell(c, i)
				switch a := record.Column(j).(type) {
				case *array.Float64:
					if a.IsNull(i) != (v == nil) || v != nil && a.Value(i) != v {
						t.Errorf("%s row %d = %v, want %v", c.Name, i, a.ValueStr(i), v)
					}
				case *array.Int32:
					if float64(a.Value(i)) != v {
						t.Errorf("%s row %d = %v, want %v", c.Name, i, a.Value(i), v)
					}
				case *array.Boolean:
					if a.Value(i) != v {
						t.Errorf("%s row %d = %v, want %v", c.Name, i, a.Value(i), v)
					}
				case *array.List:
					from, to := a.ValueOffsets(i)
					if int(to-from) != len(v.([]any)) {
						t.Errorf("%s row %d holds %d texts, want %d", c.Name, i, to-from, len(v.([]any)))
					}
				default:
					t.Errorf("%s has type %T", c.Name, a)
				}
			}
		}
	})
}

// A reader in JavaScript finds the same.
func TestJavaScriptReadsEveryFormat(t *testing.T) {
	eachFormat(t, func(t *testing.T, dir string, r runs.Run) {
		for _, name := range []string{"front.parquet", "paths.parquet"} {
			want := tableOf(t, r, dir, name)
			var got reading
			javascript.ReadTable(t, filepath.Join(dir, name), &got)
			compare(t, "hyparquet", got, want, got.Types)
		}
	})
}

// A file of another format is refused: here one whose number was changed.
func TestOtherFormatIsRefused(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(golden(table.Format), "front.parquet"))
	if err != nil {
		t.Fatal(err)
	}
	// In the footer's encoding the value stands behind its key, a type byte and a length of 1.
	key := "ullage.format\x18\x01"
	now := []byte(key + strconv.Itoa(table.Format))
	if n := bytes.Count(data, now); n != 1 {
		t.Fatalf("the format stands %d times in the file, want once, in one digit", n)
	}
	path := filepath.Join(t.TempDir(), "front.parquet")
	for digit, want := range map[string]string{
		strconv.Itoa(table.Format + 1): fmt.Sprintf("format %d, this build reads up to %d", table.Format+1, table.Format),
		"0":                            `ullage.format "0", want a file of this program`,
		"x":                            `ullage.format "x", want a file of this program`,
	} {
		if err := os.WriteFile(path, bytes.Replace(data, now, []byte(key+digit), 1), 0o666); err != nil {
			t.Fatal(err)
		}
		if _, _, err := table.Read(path, 1<<20); err == nil || err.Error() != "read "+path+": "+want {
			t.Errorf("format %s: Read = %v, want %s", digit, err, want)
		}
	}
}
