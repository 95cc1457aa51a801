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
	path := filepath.Join(t.TempDir(), "t.parquet")
	want := allKinds(100)
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
		if got := chunk.Compression(); got != compress.Codecs.Zstd {
			t.Errorf("%s: compression %v, want zstd", c.Name, got)
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
