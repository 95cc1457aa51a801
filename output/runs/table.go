package runs

import (
	"fmt"
	"os"
	"path/filepath"

	"ullage/output/file"
	"ullage/output/table"
)

// ReadTable reads a Parquet file of the run folder dir whose run.json is r. It
// compares the hash before it decodes.
func (r Run) ReadTable(dir, name string) (table.Table, table.Meta, error) {
	path := filepath.Join(dir, name)
	data, err := os.ReadFile(path)
	if err != nil {
		return table.Table{}, table.Meta{}, fmt.Errorf("read %s: %w", path, file.Cause(err))
	}
	if sum := Hash(data); sum != r.Files[name] {
		return table.Table{}, table.Meta{}, fmt.Errorf("read %s: SHA-256 %.8s, run.json has %.8s", path, sum, r.Files[name])
	}
	return table.Decode(path, data)
}
