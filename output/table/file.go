package table

import (
	"fmt"
	"path/filepath"

	"ullage/output/file"
)

// Endings are those of the names of tables, in words.
const Endings = ".parquet, .arrow or .csv"

// HasEnding reports whether a name has one of Endings.
func HasEnding(name string) bool {
	switch filepath.Ext(name) {
	case ".parquet", ".arrow", ".csv":
		return true
	}
	return false
}

// Write writes a table to path, whose extension chooses the format:
// .parquet, .arrow for the Arrow IPC file format, or .csv. It validates first: a
// number that is not finite, columns of unequal length or text that is not
// UTF-8 are refused, and nothing is written.
func Write(path string, t Table, m Meta) error {
	data, err := Encode(path, t, m)
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return file.Write(path, data)
}

// Encode returns the bytes of a file whose name's extension chooses the format.
// It refuses what Write refuses.
func Encode(name string, t Table, m Meta) ([]byte, error) {
	switch ext := filepath.Ext(name); ext {
	case ".parquet":
		return encodeParquet(t, m, max(t.Rows(), 1))
	case ".arrow":
		return encodeArrow(t, m)
	case ".csv":
		return encodeCSV(t)
	default:
		return nil, fmt.Errorf("extension %q, want %s", ext, Endings)
	}
}

// EncodePart returns the Parquet file of a part of many rows, which is encoded
// and to be read a group of rows at a time.
func EncodePart(t Table, m Meta) ([]byte, error) { return encodeParquet(t, m, partGroup) }

// PartBytes returns what a row of t takes in a part of many.
func PartBytes(t Table, m Meta) (float64, error) {
	none, err := EncodePart(t.Slice(0, 0), m)
	if err != nil {
		return 0, err
	}
	all, err := EncodePart(t, m)
	if err != nil {
		return 0, err
	}
	return float64(len(all)-len(none)) / float64(max(t.Rows(), 1)), nil
}

// partGroup is the number of rows that a reader must take at a time, and that
// the encoder copies at a time.
const partGroup = 1 << 16
