package runs

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"math"
	"path/filepath"

	"ullage/output/file"
	"ullage/output/table"
)

// mostTable is the size of a table's file, in bytes, that is looked at.
const mostTable = 1 << 30

// ReadTable reads a Parquet file of the run folder dir whose run.json is r. It
// compares the hash before it decodes, and errs where that differs, where a front
// has more rows than run.json counts, where a front or an archive has more than
// are of use, and as table.Read does.
func (r Run) ReadTable(dir, name string) (table.Table, table.Meta, error) {
	path, err := r.intact(dir, name)
	if err != nil {
		return table.Table{}, table.Meta{}, err
	}
	return table.Read(path, r.mostRows(name))
}

// MostFront is how many designs the front of a sweep has at most; that of a search
// has fewer. An archive of two goals has no bound: one of so many is not read.
const (
	MostFront   = 20_000
	mostFront   = 5000
	mostArchive = 100_000
)

// mostRows returns how many rows a table of r may have.
func (r Run) mostRows(name string) int {
	most := mostFront
	if r.Sweep != "" {
		most = MostFront
	}
	switch name {
	case "front.parquet":
		return max(min(r.Front, most), 0)
	case "archive.parquet":
		return mostArchive
	}
	return math.MaxInt32
}

// ScanTable reads columns of a Parquet file of the run folder dir as table.Scan
// does, once it has compared the hash. It errs as ReadTable does, and with the
// first error of take.
func (r Run) ScanTable(dir, name string, columns []string, take func(table.Table) error) error {
	path, err := r.intact(dir, name)
	if err != nil {
		return err
	}
	_, err = table.Scan(path, r.mostRows(name), columns, take)
	return err
}

// intact returns the path of a file whose bytes are those that run.json has the
// hash of.
func (r Run) intact(dir, name string) (string, error) {
	path := filepath.Join(dir, name)
	sum, err := hashOf(path)
	if err != nil {
		return "", err
	}
	if sum != r.Files[name] {
		return "", fmt.Errorf("read %s: SHA-256 %.8s, run.json has %.8s", path, sum, r.Files[name])
	}
	return path, nil
}

// hashOf returns the SHA-256, in hex, of a table's file.
func hashOf(path string) (string, error) {
	f, err := file.Open(path, mostTable)
	if err != nil {
		return "", err
	}
	defer f.Close()
	hash := sha256.New()
	if _, err := io.Copy(hash, f); err != nil {
		return "", fmt.Errorf("read %s: %w", path, file.Cause(err))
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}
