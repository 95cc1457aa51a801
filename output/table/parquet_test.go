package table_test

import (
	"path/filepath"
	"testing"

	"github.com/apache/arrow/go/v15/parquet"
	"github.com/apache/arrow/go/v15/parquet/compress"
	"github.com/apache/arrow/go/v15/parquet/file"

	"ullage/output/table"
)

// What readers older than the pinned ones stumble over: a root that is not
// required, columns that are not plain, and text without a dictionary grows.
func TestParquetLayout(t *testing.T) {
	for rows, codec := range map[int]compress.Compression{100: compress.Codecs.Uncompressed, 256: compress.Codecs.Uncompressed, 257: compress.Codecs.Zstd} {
		checkLayout(t, allKinds(rows), codec)
	}
}

func checkLayout(t *testing.T, want table.Table, codec compress.Compression) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "t.parquet")
	if err := table.Write(path, want, testMeta()); err != nil {
		t.Fatal(err)
	}
	r, err := file.OpenParquetFile(path, false)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if got := r.MetaData().Schema.Root().RepetitionType(); got != parquet.Repetitions.Required {
		t.Errorf("root is %v, want required", got)
	}
	if r.NumRowGroups() != 1 {
		t.Fatalf("%d row groups, want 1", r.NumRowGroups())
	}
	for i, c := range want.Columns {
		chunk, err := r.MetaData().RowGroup(0).ColumnChunk(i)
		if err != nil {
			t.Fatal(err)
		}
		if got := chunk.Compression(); got != codec {
			t.Errorf("%s of %d rows: compression %v, want %v", c.Name, want.Rows(), got, codec)
		}
		text := false
		switch c.Values.(type) {
		case []string, [][]string:
			text = true
		}
		if got := chunk.HasDictionaryPage(); got != text {
			t.Errorf("%s: dictionary %v, want %v", c.Name, got, text)
		}
	}
}
