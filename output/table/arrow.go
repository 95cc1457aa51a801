package table

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/apache/arrow/go/v15/arrow"
	"github.com/apache/arrow/go/v15/arrow/array"
	"github.com/apache/arrow/go/v15/arrow/ipc"
	"github.com/apache/arrow/go/v15/arrow/memory"
	"github.com/apache/arrow/go/v15/parquet"
	"github.com/apache/arrow/go/v15/parquet/compress"
	"github.com/apache/arrow/go/v15/parquet/pqarrow"
)

// Format is the version of everything that FORMAT.md describes.
const Format = 1

// Meta is what the schema of every file says about where it came from.
type Meta struct {
	Brief   string // SHA-256 of the brief's bytes, in hex
	Seed    uint64
	Version string // of the program
}

// Files are encoded in memory and only then written: the Parquet writer
// swallows the errors of its sink, and panics when the first bytes fail.

// smallTable is up to how many rows a table is not compressed: Arrow's compressor
// makes megabytes ready for each column, which takes longer than all else that a
// small run needs, and saves a few kilobytes.
const smallTable = 256

// encodeParquet puts that many rows into a row group, and copies no more than
// that at a time.
func encodeParquet(t Table, m Meta, group int) ([]byte, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	schema, err := t.schema(m)
	if err != nil {
		return nil, err
	}
	codec := compress.Codecs.Zstd
	if t.Rows() <= smallTable {
		codec = compress.Codecs.Uncompressed
	}
	properties := []parquet.WriterProperty{
		parquet.WithRootRepetition(parquet.Repetitions.Required), // the default confuses readers
		parquet.WithCompression(codec),
		parquet.WithCompressionLevel(3),
		parquet.WithDataPageVersion(parquet.DataPageV1),
		parquet.WithDictionaryDefault(false),
	}
	for _, c := range t.Columns {
		switch c.Values.(type) {
		case []string:
			properties = append(properties, parquet.WithDictionaryFor(c.Name, true))
		case [][]string:
			properties = append(properties, parquet.WithDictionaryFor(c.Name+".list.element", true))
		}
	}
	var out bytes.Buffer
	w, err := pqarrow.NewFileWriter(schema, &out, parquet.NewWriterProperties(properties...),
		pqarrow.NewArrowWriterProperties(pqarrow.WithStoreSchema()))
	if err != nil {
		return nil, err
	}
	for from := 0; from == 0 || from < t.Rows(); from += group {
		if err := w.Write(t.Slice(from, min(from+group, t.Rows())).filled(schema)); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func encodeArrow(t Table, m Meta) ([]byte, error) {
	record, err := t.record(m)
	if err != nil {
		return nil, err
	}
	var out seekBuffer
	w, err := ipc.NewFileWriter(&out, ipc.WithSchema(record.Schema()))
	if err != nil {
		return nil, err
	}
	if err := w.Write(record); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// A seekBuffer can tell its position, which is all the seeking that the IPC
// writer does.
type seekBuffer struct{ bytes.Buffer }

func (b *seekBuffer) Seek(offset int64, whence int) (int64, error) {
	if offset != 0 || whence != io.SeekCurrent {
		return 0, fmt.Errorf("seek %d from %d: want the position only", offset, whence)
	}
	return int64(b.Len()), nil
}

func (t Table) record(m Meta) (arrow.Record, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	schema, err := t.schema(m)
	if err != nil {
		return nil, err
	}
	return t.filled(schema), nil
}

func (t Table) filled(schema *arrow.Schema) arrow.Record {
	b := array.NewRecordBuilder(memory.NewGoAllocator(), schema)
	for i, c := range t.Columns {
		fill(b.Field(i), c.Values)
	}
	return b.NewRecord()
}

func (t Table) schema(m Meta) (*arrow.Schema, error) {
	fields := make([]arrow.Field, len(t.Columns))
	var units Object
	for i, c := range t.Columns {
		kind, nullable := arrowType(c.Values)
		keys, said := []string{"unit", "role", "sense", "doc"}, []string{c.Unit, string(c.Role), c.Sense, c.Doc}
		if c.Limit != "" {
			keys, said = append(keys, "limit"), append(said, c.Limit)
		}
		fields[i] = arrow.Field{Name: c.Name, Type: kind, Nullable: nullable, Metadata: arrow.NewMetadata(keys, said)}
		units.Add(c.Name, c.Unit)
	}
	// Once more on the schema: several readers do not show field metadata.
	repeated, err := json.Marshal(&units)
	if err != nil {
		return nil, err
	}
	meta := arrow.NewMetadata(
		[]string{"ullage.format", "ullage.version", "ullage.brief_sha256", "ullage.seed", "ullage.units"},
		[]string{strconv.Itoa(Format), m.Version, m.Brief, strconv.FormatUint(m.Seed, 10), string(repeated)},
	)
	return arrow.NewSchema(fields, &meta), nil
}

func arrowType(values any) (kind arrow.DataType, nullable bool) {
	switch values.(type) {
	case Nullable:
		return arrow.PrimitiveTypes.Float64, true
	case []int32:
		return arrow.PrimitiveTypes.Int32, false
	case []int64:
		return arrow.PrimitiveTypes.Int64, false
	case []bool:
		return arrow.FixedWidthTypes.Boolean, false
	case []string:
		return arrow.BinaryTypes.String, false
	case [][]string:
		// The Parquet writer has no other name for what a list holds, and no way
		// to say that it is never null: the Arrow file says the same.
		return arrow.ListOfField(arrow.Field{Name: "element", Type: arrow.BinaryTypes.String, Nullable: true}), false
	}
	return arrow.PrimitiveTypes.Float64, false
}

func fill(b array.Builder, values any) {
	switch v := values.(type) {
	case []float64:
		b.(*array.Float64Builder).AppendValues(v, nil)
	case Nullable:
		// Where there is no number the bytes are zeros, not those of a NaN.
		numbers, valid := make([]float64, len(v)), make([]bool, len(v))
		for i, value := range v {
			if valid[i] = !math.IsNaN(value); valid[i] {
				numbers[i] = value
			}
		}
		b.(*array.Float64Builder).AppendValues(numbers, valid)
	case []int32:
		b.(*array.Int32Builder).AppendValues(v, nil)
	case []int64:
		b.(*array.Int64Builder).AppendValues(v, nil)
	case []bool:
		b.(*array.BooleanBuilder).AppendValues(v, nil)
	case []string:
		b.(*array.StringBuilder).AppendValues(v, nil)
	case [][]string:
		lists := b.(*array.ListBuilder)
		for _, list := range v {
			lists.Append(true)
			lists.ValueBuilder().(*array.StringBuilder).AppendValues(list, nil)
		}
	}
}
