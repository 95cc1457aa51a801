package table_test

import (
	"math"
	"os"
	"path/filepath"
	"runtime"
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
