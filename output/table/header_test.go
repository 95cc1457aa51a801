package table

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	parquetfile "github.com/apache/arrow/go/v15/parquet/file"
	"github.com/apache/arrow/go/v15/parquet/metadata"
	"github.com/apache/thrift/lib/go/thrift"
)

// A field of a struct of Thrift: of a number, or of another struct.
type field struct {
	id     int16
	number int32
	fields []field
}

// encoded writes a struct as the compact protocol of Thrift has it, by the library.
func encoded(t *testing.T, fields []field) []byte {
	t.Helper()
	buffer := thrift.NewTMemoryBuffer()
	p := thrift.NewTCompactProtocolConf(buffer, nil)
	writeFields(t, p, fields)
	if err := p.Flush(context.Background()); err != nil {
		t.Fatal(err)
	}
	return buffer.Bytes()
}

func writeFields(t *testing.T, p thrift.TProtocol, fields []field) {
	t.Helper()
	ctx := context.Background()
	err := p.WriteStructBegin(ctx, "")
	for _, f := range fields {
		kind := thrift.TType(thrift.I32)
		if f.fields != nil {
			kind = thrift.STRUCT
		}
		err = errors.Join(err, p.WriteFieldBegin(ctx, "", kind, f.id))
		if f.fields != nil {
			writeFields(t, p, f.fields)
		} else {
			err = errors.Join(err, p.WriteI32(ctx, f.number))
		}
		err = errors.Join(err, p.WriteFieldEnd(ctx))
	}
	if err = errors.Join(err, p.WriteFieldStop(ctx), p.WriteStructEnd(ctx)); err != nil {
		t.Fatal(err)
	}
}

// Of the header of a page the sizes are read, and the levels of version 2, by the
// numbers that the Parquet format gives these fields; the others are passed over.
func TestHeaderOf(t *testing.T) {
	for _, row := range []struct {
		why    string
		fields []field
		want   pageHeader
		taken  bool
	}{
		{"version 1", []field{{1, 0, nil}, {2, 240, nil}, {3, 120, nil}, {5, 0, []field{{1, 30, nil}, {2, 8, nil}, {3, 3, nil}, {4, 3, nil}}}}, pageHeader{size: 240, compressed: 120}, true},
		{"version 2", []field{{1, 3, nil}, {2, 240, nil}, {3, 120, nil}, {8, 0, []field{{1, 30, nil}, {2, 7, nil}, {3, 9, nil}, {4, 2, nil}, {5, 11, nil}, {6, 12, nil}}}}, pageHeader{size: 240, compressed: 120, plain: 23}, true},
		{"a dictionary", []field{{1, 2, nil}, {2, 10, nil}, {3, 10, nil}, {4, 77, nil}, {7, 0, []field{{1, 5, nil}, {2, 6, nil}}}}, pageHeader{size: 10, compressed: 10}, true},
		{"nothing", nil, pageHeader{}, true},
		{"a size of nothing", []field{{2, 0, nil}, {3, 0, nil}}, pageHeader{}, true},
		{"less than nothing", []field{{2, -1, nil}, {3, 10, nil}}, pageHeader{}, false},
		{"less than nothing compressed", []field{{2, 1, nil}, {3, -10, nil}}, pageHeader{}, false},
		{"levels of less than nothing", []field{{2, 1, nil}, {3, 1, nil}, {8, 0, []field{{5, -1, nil}}}}, pageHeader{}, false},
		{"a size that is a struct", []field{{2, 0, []field{{1, 1, nil}}}, {3, 1, nil}}, pageHeader{compressed: 1}, true},
		{"version 2 that is a number", []field{{2, 1, nil}, {3, 1, nil}, {8, 5, nil}}, pageHeader{size: 1, compressed: 1}, true},
	} {
		data := encoded(t, row.fields)
		row.want.length = int64(len(data))
		got, err := headerOf(append(bytes.Clone(data), 0x55, 0x15, 0x26))
		if (err == nil) != row.taken || row.taken && got != row.want {
			t.Errorf("%s: %+v, %v, want %+v", row.why, got, err, row.want)
		}
		for cut := range data {
			if _, err := headerOf(data[:cut]); row.taken && err == nil {
				t.Errorf("%s: %d of %d bytes are a header", row.why, cut, len(data))
			}
		}
	}
}

// at is a file of which the bytes from an offset are others.
type at struct {
	data   []byte
	offset int64
	other  []byte
}

func (a at) ReadAt(p []byte, offset int64) (int, error) {
	data := bytes.Clone(a.data)
	copy(data[a.offset:], a.other)
	return bytes.NewReader(data).ReadAt(p, offset)
}

// Each page is held against its header before it is decoded: of one that is not
// compressed both sizes are the same, no page is longer than what is left of its
// column, and the dictionary is looked at too.
func TestPagesAreChecked(t *testing.T) {
	for name, values := range map[string]any{"number": []float64{1, 2, 3}, "text": []string{"a", "b", "a"}} {
		path := filepath.Join(t.TempDir(), "t.parquet")
		if err := Write(path, Table{Columns: []Column{{Name: name, Unit: "1", Values: values}}}, Meta{}); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		r, err := parquetfile.OpenParquetFile(path, false)
		if err != nil {
			t.Fatal(err)
		}
		chunk, err := r.MetaData().RowGroup(0).ColumnChunk(0)
		if err != nil {
			t.Fatal(err)
		}
		if err := checkPages(bytes.NewReader(data), chunk); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		first := chunk.DataPageOffset()
		if name == "text" {
			if first = chunk.DictionaryPageOffset(); first >= chunk.DataPageOffset() {
				t.Fatalf("the dictionary is at %d, the data at %d", first, chunk.DataPageOffset())
			}
		}
		h, err := headerOf(data[first:])
		if err != nil || h.size != h.compressed {
			t.Fatalf("%s: %+v, %v", name, h, err)
		}
		// The sizes are the second and the third field, in zigzag.
		sizes := bytes.Index(data[first:], []byte{0x15, byte(2 * h.size), 0x15, byte(2 * h.size)})
		if sizes < 0 || h.size > 63 {
			t.Fatalf("%s: no sizes of %d in %x", name, h.size, data[first:first+h.length])
		}
		for size, want := range map[int64]string{
			h.size - 1: fmt.Sprintf("damaged: a page of %d bytes, %d of them there, want at most 8388608", h.size-1, h.size),
			h.size + 1: fmt.Sprintf("damaged: a page of %d bytes, %d of them there, want at most 8388608", h.size+1, h.size),
			h.size:     "",
		} {
			err := checkPages(at{data, first + int64(sizes) + 1, []byte{byte(2 * size)}}, chunk)
			if want == "" && err != nil || want != "" && (err == nil || err.Error() != want) {
				t.Errorf("%s of size %d in its header: %v, want %s", name, size, err, want)
			}
		}
		if err := checkPages(at{data, first + int64(sizes) + 3, []byte{126}}, chunk); !errors.Is(err, errPage) {
			t.Errorf("%s: a page longer than its column: %v", name, err)
		}
		if err := checkPages(bytes.NewReader(data[:first]), chunk); !errors.Is(err, errPage) {
			t.Errorf("%s: a page that is not there: %v", name, err)
		}
		r.Close()
	}
}

// A file is of this program where its schema says so, of a format that this build
// knows, with a seed that is a number of 64 bits.
func TestMetaOfAFile(t *testing.T) {
	for _, row := range []struct{ format, seed, want string }{
		{"1", "0", ""},
		{"1", "18446744073709551615", ""},
		{"", "0", `ullage.format "", want a file of this program`},
		{"x", "0", `ullage.format "x", want a file of this program`},
		{"0", "0", `ullage.format "0", want a file of this program`},
		{"-1", "0", `ullage.format "-1", want a file of this program`},
		{"2", "0", "format 2, this build reads up to 1"},
		{"1", "", `ullage.seed "", want a whole number`},
		{"1", "-1", `ullage.seed "-1", want a whole number`},
		{"1", "18446744073709551616", `ullage.seed "18446744073709551616", want a whole number`},
		{"1", "0x10", `ullage.seed "0x10", want a whole number`},
	} {
		kv := metadata.NewKeyValueMetadata()
		for key, value := range map[string]string{"ullage.format": row.format, "ullage.seed": row.seed, "ullage.version": "v", "ullage.brief_sha256": "b"} {
			if value != "" {
				if err := kv.Append(key, value); err != nil {
					t.Fatal(err)
				}
			}
		}
		m, err := meta(kv)
		if row.want == "" && (err != nil || m.Version != "v" || m.Brief != "b" || fmt.Sprint(m.Seed) != row.seed) || row.want != "" && (err == nil || err.Error() != row.want) {
			t.Errorf("format %q, seed %q: %+v, %v, want %q", row.format, row.seed, m, err, row.want)
		}
	}
}

// A table without rows is read with its columns, by whoever asks for all of them; one
// who names some is given none.
func TestReadOfNoRows(t *testing.T) {
	path := filepath.Join(t.TempDir(), "t.parquet")
	if err := Write(path, kinds().Slice(0, 0), Meta{}); err != nil {
		t.Fatal(err)
	}
	got, _, err := Read(path, 0)
	if err != nil || got.Rows() != 0 || len(got.Columns) != len(kinds().Columns) {
		t.Errorf("%d columns of %d rows, %v", len(got.Columns), got.Rows(), err)
	}
	for want, columns := range map[int][]string{1: nil, 0: {"truth"}} {
		taken := 0
		if _, err := Scan(path, 0, columns, func(Table) error { taken++; return nil }); err != nil || taken != want {
			t.Errorf("Scan of %q gives %d tables, %v, want %d", columns, taken, err, want)
		}
	}
	if err := Write(path, kinds(), Meta{}); err != nil {
		t.Fatal(err)
	}
	var names []string
	if _, err := Scan(path, 3, []string{"none", "number", "list"}, func(part Table) error {
		for _, c := range part.Columns {
			names = append(names, c.Name)
		}
		return nil
	}); err != nil || strings.Join(names, " ") != "number list" {
		t.Errorf("Scan of two columns gives %q, %v", names, err)
	}
}
