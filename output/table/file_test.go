package table_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ullage/output/file"
	"ullage/output/table"
)

func TestParquetComesBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "t.parquet")
	want := allKinds(7)
	if err := table.Write(path, want, testMeta()); err != nil {
		t.Fatal(err)
	}
	got, meta, err := table.Read(path, 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	if meta != testMeta() {
		t.Errorf("meta = %+v, want %+v", meta, testMeta())
	}
	for i := range want.Columns {
		if fmt.Sprintf("%#v", got.Columns[i]) != fmt.Sprintf("%#v", want.Columns[i]) {
			t.Errorf("column = %+v, want %+v", got.Columns[i], want.Columns[i])
		}
	}
	if len(got.Columns) != len(want.Columns) {
		t.Errorf("%d columns, want %d", len(got.Columns), len(want.Columns))
	}
}

func TestSameTableGivesSameBytes(t *testing.T) {
	for _, name := range []string{"t.parquet", "t.arrow"} {
		var files [2]string
		for i := range files {
			path := filepath.Join(t.TempDir(), name)
			if err := table.Write(path, allKinds(5000), testMeta()); err != nil {
				t.Fatal(err)
			}
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			files[i] = string(data)
		}
		if files[0] != files[1] {
			t.Errorf("%s: two writes of one table differ", name)
		}
	}
}

func TestUnfitTablesAreRefused(t *testing.T) {
	column := func(name string, values any) table.Column {
		return table.Column{Name: name, Unit: "1", Role: table.Figure, Values: values}
	}
	for _, row := range []struct {
		columns []table.Column
		want    string
	}{
		{nil, "table: 0 columns, want at least 1"},
		{[]table.Column{column("a", []float64{1, math.NaN()})}, "column a row 2: NaN, want a finite number or valid UTF-8"},
		{[]table.Column{column("a", []float64{math.Inf(-1)})}, "column a row 1: -Inf, want a finite number or valid UTF-8"},
		{[]table.Column{column("a", table.Nullable{math.NaN(), math.Inf(1)})}, "column a row 2: +Inf, want a finite number or valid UTF-8"},
		{[]table.Column{column("a", []string{"\xff"})}, `column a row 1: "\xff", want a finite number or valid UTF-8`},
		{[]table.Column{column("a", [][]string{{"x", "\xff"}})}, `column a row 1: "\xff", want a finite number or valid UTF-8`},
		{[]table.Column{column("a", []int32{1}), column("b", []bool{})}, "column b: 0 rows, want 1"},
		{[]table.Column{column("a", []int32{1}), column("a", []int32{1})}, `column "a": the name is empty or used twice`},
		{[]table.Column{column("a", []int{1})}, "column a: values of type []int, want numbers, truth values or text"},
	} {
		for _, name := range []string{"t.parquet", "t.arrow"} {
			path := filepath.Join(t.TempDir(), name)
			err := table.Write(path, table.Table{Columns: row.columns}, testMeta())
			if want := "write " + path + ": " + row.want; err == nil || err.Error() != want {
				t.Errorf("Write = %v, want %s", err, want)
			}
			wantFiles(t, filepath.Dir(path))
		}
	}
}

func TestUnfitPathsAreRefused(t *testing.T) {
	dir := t.TempDir()
	if err := os.Symlink(filepath.Join(dir, "elsewhere"), filepath.Join(dir, "link.arrow")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.parquet"), 0o777); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"folder.parquet":     "a folder, want a regular file",
		"t.txt":              `extension ".txt", want .parquet, .arrow or .csv`,
		"none/t.arrow":       "no such file or directory",
		"link.arrow":         "a symbolic link, want a regular file",
		"link.arrow/t.arrow": "no such file or directory",
	} {
		path := filepath.Join(dir, name)
		err := table.Write(path, allKinds(1), testMeta())
		if want := "write " + path + ": " + want; err == nil || err.Error() != want {
			t.Errorf("Write = %v, want %s", err, want)
		}
	}
	if err := file.Write(os.DevNull, nil); err == nil || err.Error() != "write "+os.DevNull+": a device or a pipe, want a regular file" {
		t.Errorf("Write to a device = %v", err)
	}
	wantFiles(t, dir, "folder.parquet", "link.arrow")
}

// A file may be cut anywhere by a copy that ended early.
func TestCutParquetIsAnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "t.parquet")
	if err := table.Write(path, allKinds(3), testMeta()); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for n := range len(data) {
		if err := os.WriteFile(path, data[:n], 0o666); err != nil {
			t.Fatal(err)
		}
		if _, _, err := table.Read(path, 1<<20); err == nil || !strings.HasPrefix(err.Error(), "read "+path+": ") {
			t.Fatalf("cut to %d of %d bytes: %v, want an error that names the file", n, len(data), err)
		}
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
