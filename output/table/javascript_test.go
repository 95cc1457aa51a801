package table_test

import (
	"path/filepath"
	"strconv"
	"testing"

	"ullage/output/table"
	"ullage/testdata/javascript"
)

func TestJavaScriptReaderAgrees(t *testing.T) {
	types := []string{"INT32 INT_32", "DOUBLE", "DOUBLE", "DOUBLE", "DOUBLE", "BYTE_ARRAY UTF8", "LIST", "BOOLEAN"}
	for _, rows := range []int{0, 1, 5000} {
		t.Run(strconv.Itoa(rows), func(t *testing.T) {
			want := allKinds(rows)
			path := filepath.Join(t.TempDir(), "t.parquet")
			if err := table.Write(path, want, testMeta()); err != nil {
				t.Fatal(err)
			}
			var got reading
			javascript.ReadTable(t, path, &got)
			compare(t, "hyparquet", got, want, types)
			compareSchema(t, "hyparquet", got.Schema, want)
			for j, c := range want.Columns {
				if _, nullable := c.Values.(table.Nullable); got.Nullable[j] != nullable {
					t.Errorf("hyparquet: %s nullable %v, want %v", c.Name, got.Nullable[j], nullable)
				}
			}
		})
	}
}
