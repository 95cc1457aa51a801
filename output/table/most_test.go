package table

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is read of a file ends where FORMAT says nothing of use is longer: a file of a
// gigabyte, a table of 40 MB of memory that is read as one, a page of 8 MB that is not
// compressed. As much is taken, and a byte, a row or a letter more is not.
func TestMostThatIsRead(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "t.parquet")
	if err := os.WriteFile(path, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	for size, refused := range map[int64]bool{1 << 30: false, 1<<30 + 1: true} {
		if err := os.Truncate(path, size); err != nil { // without blocks on the disk
			t.Fatal(err)
		}
		want := fmt.Sprintf("read %s: %d bytes, want at most 1073741824", path, size)
		if _, _, err := Read(path, 1); err == nil || (err.Error() == want) != refused {
			t.Errorf("a file of %d bytes: %v", size, err)
		}
	}
	numbers := make([]int64, 40<<17+1) // of 8 bytes
	for rows, want := range map[int]error{40 << 17: nil, 40<<17 + 1: errWhole} {
		data, err := EncodePart(Table{Columns: []Column{{Name: "number", Unit: "1", Values: numbers[:rows]}}}, Meta{})
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		if _, _, err := Read(path, rows); !errors.Is(err, want) {
			t.Errorf("%d numbers: %v, want %v", rows, err, want)
		}
	}
	// A text stands behind its length, of four bytes.
	for letters, want := range map[int]string{8<<20 - 4: "", 8<<20 - 3: "damaged: a page of 8388609 bytes, 8388609 of them there, want at most 8388608"} {
		if err := Write(path, Table{Columns: []Column{{Name: "text", Unit: "1", Values: []string{strings.Repeat("a", letters)}}}}, Meta{}); err != nil {
			t.Fatal(err)
		}
		_, _, err := Read(path, 1)
		if want == "" && err != nil || want != "" && (err == nil || err.Error() != "read "+path+": "+want) {
			t.Errorf("a text of %d letters: %v, want %q", letters, err, want)
		}
	}
}
