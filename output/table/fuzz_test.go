package table_test

import (
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"
	"time"

	"ullage/output/table"
)

// FuzzRead is given files of Parquet: reading them never panics, ends soon, and
// a table that is read is one that can be written.
func FuzzRead(f *testing.F) {
	small := table.Table{Columns: []table.Column{
		{Name: "apogee_m", Unit: "m", Values: table.Nullable{142, 7}},
		{Name: "design", Unit: "1", Values: []int32{1, 2}},
		{Name: "word", Unit: "1", Values: []string{"GO", ""}},
		{Name: "knee", Unit: "1", Values: []bool{true, false}},
		{Name: "warnings", Unit: "1", Values: [][]string{{"a"}, {}}},
	}}
	whole, err := table.Encode("t.parquet", small, testMeta())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	golden, err := os.ReadFile(filepath.Join(golden(1), "front.parquet"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(golden)
	path := filepath.Join(f.TempDir(), "t.parquet")
	f.Fuzz(func(t *testing.T, data []byte) {
		defer debug.SetMemoryLimit(debug.SetMemoryLimit(200 << 20))
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		start := time.Now()
		read, m, err := table.Read(path, 1000)
		if took := time.Since(start); took > 5*time.Second {
			t.Errorf("took %v", took)
		}
		if err != nil {
			return
		}
		if _, err := table.Encode("t.parquet", read, m); err != nil {
			t.Errorf("read but cannot be written: %v", err)
		}
	})
}
