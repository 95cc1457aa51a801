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

// Write writes a table to path, whose extension chooses the format: .parquet,
// .arrow for the Arrow IPC file format, or .csv. It errs, and nothing is written,
// where the extension is another, where a number is not finite, columns are of
// unequal length or a text is not UTF-8, and where file.Write errs.
func Write(path string, t Table, m Meta) error {
	data, err := Encode(path, t, m)
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return file.Write(path, data)
}

// Encode returns the bytes of a file whose name's extension chooses the format. It
// errs where Write refuses the table or the name.
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

// EncodePart returns the Parquet file of a part of many rows, which is encoded and
// to be read a group of rows at a time. It errs where Write refuses the table.
func EncodePart(t Table, m Meta) ([]byte, error) { return encodeParquet(t, m, partGroup) }

// PartBytes returns how many bytes a row of t takes in a part of many. It errs
// where Write refuses the table.
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
