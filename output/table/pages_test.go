package table_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"ullage/output/table"
)

// TestPageBomb puts a frame of the same length in the place of a page that
// decompresses to more than a gigabyte, and frames that state another size or
// none: they are refused before any is decompressed.
func TestPageBomb(t *testing.T) {
	values := make([]float64, 8000)
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range values {
		values[i] = rng.Float64()
	}
	whole, err := table.Encode("t.parquet", table.Table{Columns: []table.Column{{Name: "apogee_m", Unit: "m", Values: values}}}, testMeta())
	if err != nil {
		t.Fatal(err)
	}
	magic := []byte{0x28, 0xB5, 0x2F, 0xFD}
	at := bytes.Index(whole, magic)
	if at < 0 || bytes.Contains(whole[at+4:], magic) {
		t.Fatalf("the page begins at %d, want one", at)
	}
	path := filepath.Join(t.TempDir(), "t.parquet")
	read := func(data []byte) (allocated uint64, err error) {
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, _, err = table.Read(path, len(values))
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc, err
	}
	if _, err := read(whole); err != nil {
		t.Fatal(err)
	}
	bomb := bytes.Clone(whole)
	copy(bomb[at+4:], []byte{0, 0x70}) // no size stated, a large window
	for i := at + 6; i+8 < at+60_000; i += 4 {
		copy(bomb[i:], []byte{0x02, 0x00, 0x10, 'x'}) // 128 KiB of one byte, and more follows
	}
	other := bytes.Clone(whole)
	other[at+6]++ // of the two to four bytes that state it

	for name, data := range map[string][]byte{"bomb": bomb, "another size": other} {
		allocated, err := read(data)
		if err == nil || !strings.HasSuffix(err.Error(), "damaged: a page that is not one frame of the size it states") {
			t.Errorf("%s: %v, want it refused", name, err)
		}
		if allocated > 50<<20 {
			t.Errorf("%s: %d MB allocated, want at most 50", name, allocated>>20)
		}
	}
}
