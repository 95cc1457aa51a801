package output

import (
	"fmt"
	"os"
	"path/filepath"
)

// ReadTable reads a Parquet file of the run folder dir whose run.json is r. It
// compares the hash before it decodes.
func (r Run) ReadTable(dir, name string) (Table, Meta, error) {
	path := filepath.Join(dir, name)
	data, err := os.ReadFile(path)
	if err != nil {
		return Table{}, Meta{}, fmt.Errorf("read %s: %w", path, cause(err))
	}
	if sum := Hash(data); sum != r.Files[name] {
		return Table{}, Meta{}, fmt.Errorf("read %s: SHA-256 %.8s, run.json has %.8s", path, sum, r.Files[name])
	}
	return decode(path, data)
}
