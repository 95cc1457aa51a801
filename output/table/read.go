package table

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/apache/arrow/go/v15/arrow"
	"github.com/apache/arrow/go/v15/arrow/array"
	"github.com/apache/arrow/go/v15/arrow/memory"
	"github.com/apache/arrow/go/v15/parquet"
	"github.com/apache/arrow/go/v15/parquet/compress"
	parquetfile "github.com/apache/arrow/go/v15/parquet/file"
	"github.com/apache/arrow/go/v15/parquet/metadata"
	"github.com/apache/arrow/go/v15/parquet/pqarrow"

	"ullage/output/file"
)

// What a file may ask for, whatever it says of itself: a file from elsewhere
// must not exhaust the memory.
const (
	mostBytes  = 1 << 30  // of a file
	mostValues = 1 << 24  // of a table that is read as a whole
	mostMemory = 96 << 20 // bytes, while a batch is decoded
	batch      = 1 << 13  // rows
)

// Read reads a table of at most that many rows that Write wrote, with its schema
// metadata. A file cut short, one of another origin, one of a newer format and
// one that asks for more memory than a table needs are refused.
func Read(path string, most int) (Table, Meta, error) {
	var t Table
	m, err := scan(path, most, nil, true, func(part Table) error {
		if t.Columns == nil {
			t = part
			return nil
		}
		for i := range t.Columns {
			t.Columns[i].Values = concat(t.Columns[i].Values, part.Columns[i].Values)
		}
		return nil
	})
	if err != nil {
		return Table{}, Meta{}, err
	}
	return t, m, nil
}

// Scan reads what Read does, of the named columns those that the file has, and
// gives take some rows at a time, none of an empty table: memory does not grow
// with the file. It ends with the first error of take.
func Scan(path string, most int, columns []string, take func(Table) error) (Meta, error) {
	return scan(path, most, columns, false, take)
}

func scan(path string, most int, columns []string, whole bool, take func(Table) error) (m Meta, err error) {
	f, err := file.Open(path, mostBytes)
	if err != nil {
		return m, err
	}
	defer f.Close()
	defer func() {
		// The Parquet reader panics on some damaged files.
		if r := recover(); r != nil {
			err = fmt.Errorf("damaged: %v", r)
			if flaw, ok := r.(error); ok && errors.Is(flaw, errMemory) {
				err = errMemory
			}
		}
		if err != nil {
			m, err = Meta{}, fmt.Errorf("read %s: %w", path, err)
		}
	}()
	bounded := &bounded{memory.NewGoAllocator(), mostMemory}
	r, err := parquetfile.NewParquetReader(f, parquetfile.WithReadProps(parquet.NewReaderProperties(bounded)))
	if err != nil {
		return m, err
	}
	defer r.Close()
	if m, err = meta(r.MetaData().KeyValueMetadata()); err != nil {
		return m, err
	}
	if err := fits(f, r, most, whole); err != nil {
		return m, err
	}
	return m, batches(r, bounded, columns, whole, take)
}

// fits compares what the footer says of the file with what it may hold.
func fits(f io.ReaderAt, r *parquetfile.Reader, most int, whole bool) error {
	rows := int64(0)
	for i := range r.NumRowGroups() {
		group := r.MetaData().RowGroup(i)
		if group.NumRows() < 0 || group.NumRows() > int64(most)-rows {
			return fmt.Errorf("%d rows and more, want at most %d", rows+max(group.NumRows(), 0), most)
		}
		rows += group.NumRows()
		for j := range group.NumColumns() {
			chunk, err := group.ColumnChunk(j)
			if err != nil {
				return err
			}
			if c := chunk.Compression(); c != compress.Codecs.Zstd && c != compress.Codecs.Uncompressed {
				return fmt.Errorf("compressed with %v, want zstd", c)
			} else if c == compress.Codecs.Zstd {
				if err := checkPages(f, chunk); err != nil {
					return err
				}
			}
		}
	}
	if columns := int64(r.MetaData().Schema.NumColumns()); whole && rows*columns > mostValues {
		return fmt.Errorf("%d rows of %d columns, want at most %d numbers", rows, columns, mostValues)
	}
	return nil
}

// batches decodes the columns some rows at a time.
func batches(r *parquetfile.Reader, bounded memory.Allocator, columns []string, whole bool, take func(Table) error) error {
	a, err := pqarrow.NewFileReader(r, pqarrow.ArrowReadProperties{BatchSize: batch}, bounded)
	if err != nil {
		return err
	}
	var leaves []int
	for i := range r.MetaData().Schema.NumColumns() {
		if whole || slices.Contains(columns, r.MetaData().Schema.Column(i).ColumnPath()[0]) {
			leaves = append(leaves, i)
		}
	}
	if leaves == nil {
		return errors.New("none of the columns that are looked for")
	}
	records, err := a.GetRecordReader(context.Background(), leaves, nil)
	if err != nil {
		return err
	}
	defer records.Release()
	taken := 0
	for records.Next() {
		t, err := tableOf(records.Record().Schema(), records.Record().Columns())
		if err == nil {
			err = take(t)
		}
		if err != nil {
			return err
		}
		taken += t.Rows()
	}
	if err := records.Err(); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	if int64(taken) != r.NumRows() {
		return fmt.Errorf("damaged: %d rows, its footer says %d", taken, r.NumRows())
	}
	if taken > 0 || !whole {
		return nil
	}
	t, err := tableOf(records.Schema(), make([]arrow.Array, len(records.Schema().Fields())))
	if err != nil {
		return err
	}
	return take(t)
}

// errMemory is what a file is refused with that asks for too much of it.
var errMemory = fmt.Errorf("damaged: a part of it takes more than %d MB", mostMemory>>20)

// bounded is memory that ends: the reader believes what a file says of the
// sizes of its parts.
type bounded struct {
	memory.Allocator
	left int
}

func (b *bounded) take(size int) {
	if b.left -= size; b.left < 0 {
		panic(errMemory)
	}
}

// Allocate panics with errMemory where size is more than what is left.
func (b *bounded) Allocate(size int) []byte {
	b.take(size)
	return b.Allocator.Allocate(size)
}

// Reallocate panics as Allocate does.
func (b *bounded) Reallocate(size int, old []byte) []byte {
	b.take(size - len(old))
	return b.Allocator.Reallocate(size, old)
}

// Free gives memory back.
func (b *bounded) Free(old []byte) {
	b.left += len(old)
	b.Allocator.Free(old)
}

func meta(kv metadata.KeyValueMetadata) (Meta, error) {
	value := func(key string) string {
		if v := kv.FindValue(key); v != nil {
			return *v
		}
		return ""
	}
	format, err := strconv.Atoi(value("ullage.format"))
	if err != nil || format < 1 {
		return Meta{}, fmt.Errorf("ullage.format %q, want a file of this program", value("ullage.format"))
	}
	if format > Format {
		return Meta{}, fmt.Errorf("format %d, this build reads up to %d", format, Format)
	}
	seed, err := strconv.ParseUint(value("ullage.seed"), 10, 64)
	if err != nil {
		return Meta{}, fmt.Errorf("ullage.seed %q, want a whole number", value("ullage.seed"))
	}
	return Meta{Brief: value("ullage.brief_sha256"), Seed: seed, Version: value("ullage.version")}, nil
}

// tableOf copies arrays into a table; one that is nil has no rows.
func tableOf(schema *arrow.Schema, arrays []arrow.Array) (Table, error) {
	var t Table
	for i, field := range schema.Fields() {
		c, err := column(field, arrays[i])
		if err != nil {
			return t, err
		}
		t.Columns = append(t.Columns, c)
	}
	return t, t.check()
}

func column(field arrow.Field, data arrow.Array) (Column, error) {
	value := func(key string) string {
		v, _ := field.Metadata.GetValue(key)
		return v
	}
	c := Column{
		Name: field.Name, Unit: value("unit"), Role: Role(value("role")), Sense: value("sense"), Doc: value("doc"), Limit: value("limit"),
	}
	switch field.Type.ID() {
	case arrow.FLOAT64:
		if field.Nullable {
			c.Values = Nullable(values(data, func(a *array.Float64, i int) float64 {
				if !a.IsValid(i) {
					return math.NaN()
				}
				return a.Value(i)
			}))
		} else {
			c.Values = values(data, (*array.Float64).Value)
		}
	case arrow.INT32:
		c.Values = values(data, (*array.Int32).Value)
	case arrow.INT64:
		c.Values = values(data, (*array.Int64).Value)
	case arrow.BOOL:
		c.Values = values(data, (*array.Boolean).Value)
	case arrow.STRING:
		c.Values = values(data, text)
	case arrow.LIST:
		c.Values = values(data, func(a *array.List, i int) []string {
			from, to := a.ValueOffsets(i)
			texts := make([]string, 0, to-from)
			for j := from; j < to; j++ {
				texts = append(texts, text(a.ListValues().(*array.String), int(j)))
			}
			return texts
		})
	default:
		return c, fmt.Errorf("column %s: type %s, want one that this program writes", field.Name, field.Type)
	}
	return c, nil
}

// text copies what would else keep a whole batch in memory, or be written over.
func text(a *array.String, i int) string { return strings.Clone(a.Value(i)) }

// values copies all values out of a column.
func values[A arrow.Array, T any](data arrow.Array, value func(A, int) T) []T {
	if data == nil {
		return []T{}
	}
	a := data.(A)
	out := make([]T, a.Len())
	for i := range out {
		out[i] = value(a, i)
	}
	return out
}

// concat returns the values of a, then those of b, which are of one type.
func concat(a, b any) any {
	switch a := a.(type) {
	case []float64:
		return append(a, b.([]float64)...)
	case Nullable:
		return append(a, b.(Nullable)...)
	case []int32:
		return append(a, b.([]int32)...)
	case []int64:
		return append(a, b.([]int64)...)
	case []bool:
		return append(a, b.([]bool)...)
	case []string:
		return append(a, b.([]string)...)
	}
	return append(a.([][]string), b.([][]string)...)
}
