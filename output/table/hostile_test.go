package table_test

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"ullage/output/table"
)

// A file of few bytes may hold many rows: how many is asked before one is
// decoded, and what is scanned does not stay.
func TestManyRowsTakeLittleMemory(t *testing.T) {
	const rows = 20_000_000
	path := filepath.Join(t.TempDir(), "front.parquet")
	data, err := table.EncodePart(table.Table{Columns: []table.Column{{Name: "knee", Unit: "1", Values: make([]bool, rows)}}}, testMeta())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	for most, want := range map[int]string{
		100: "rows and more, want at most 100",
	} {
		if _, _, err := table.Read(path, most); err == nil || !strings.HasPrefix(err.Error(), "read "+path+": ") || !strings.HasSuffix(err.Error(), want) {
			t.Errorf("Read of %d rows, at most %d = %v, want %s", rows, most, err, want)
		}
	}
	var before, now runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	seen, heap := 0, uint64(0)
	if _, err := table.Scan(path, rows, []string{"knee", "none"}, func(part table.Table) error {
		if seen += part.Rows(); seen%(1<<20) < part.Rows() {
			runtime.ReadMemStats(&now)
			heap = max(heap, now.HeapAlloc-min(now.HeapAlloc, before.HeapAlloc))
		}
		return nil
	}); err != nil || seen != rows {
		t.Fatalf("Scan = %v after %d rows, want %d", err, seen, rows)
	}
	if heap > 100<<20 {
		t.Errorf("the heap grew by %d MB, want at most 100", heap>>20)
	}
	t.Logf("%d bytes, %d rows: the heap grew by %d MB", len(data), rows, heap>>20)
	if _, err := table.Scan(path, rows, []string{"none"}, nil); err == nil || !strings.HasSuffix(err.Error(), "none of the columns that are looked for") {
		t.Errorf("Scan of no column = %v", err)
	}
}

// A table that is read as a whole takes some 40 MB at most, whatever its columns
// hold; what is scanned has no such bound.
func TestLargeTablesAreNotReadWhole(t *testing.T) {
	const rows = 6_000_000
	for name, values := range map[string]any{
		"numbers": make([]float64, rows),
		"texts":   slices.Repeat([]string{"0123456789012345678901234567890123456789"}, 1_000_000),
		"lists":   slices.Repeat([][]string{{"a"}}, rows/5),
	} {
		path := filepath.Join(t.TempDir(), "t.parquet")
		data, err := table.EncodePart(table.Table{Columns: []table.Column{{Name: "x", Unit: "1", Values: values}}}, testMeta())
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		if _, _, err := table.Read(path, rows); err == nil || err.Error() != "read "+path+": a table of more than 40 MB, want less" {
			t.Errorf("Read of %s = %v, want them refused", name, err)
		}
		if _, err := table.Scan(path, rows, nil, func(table.Table) error { return nil }); err != nil {
			t.Errorf("Scan of %s = %v", name, err)
		}
	}
}
