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
	mostWhole  = 40 << 20 // bytes of a table that is read as a whole: 20 000 designs have 30
	mostMemory = 96 << 20 // bytes, while a batch is decoded
	batch      = 1 << 13  // rows
)

// Read reads a table of at most that many rows that Write wrote, with its schema
// metadata. It errs where the file cannot be read, is cut short, of another origin
// or of a newer format, has more rows, or asks for more memory than a table needs.
func Read(path string, most int) (Table, Meta, error) {
	var t Table
	left := mostWhole
	m, err := scan(path, most, nil, mostWhole, func(part Table, rows int) error {
		if left -= part.bytes(); left < 0 {
			return errWhole
		}
		if t.Columns == nil {
			t.Columns = slices.Clone(part.Columns)
			for i := range t.Columns {
				t.Columns[i].Values = concat(roomFor(part.Columns[i].Values, rows), part.Columns[i].Values)
			}
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

// Scan reads what Read does, of the named columns those that the file has, nil
// being all of them, and gives take some rows at a time: memory does not grow with
// the file. Of an empty table take is given the columns where they are not named. It
// ends with the first error of take.
func Scan(path string, most int, columns []string, take func(Table) error) (Meta, error) {
	return scan(path, most, columns, math.MaxInt, func(part Table, _ int) error { return take(part) })
}

// scan gives take the parts of a table that takes no more memory than budget, in
// bytes, as far as its footer tells, with the rows of all parts.
func scan(path string, most int, columns []string, budget int, take func(part Table, rows int) error) (m Meta, err error) {
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
	if err := fits(f, r, most, budget); err != nil {
		return m, err
	}
	return m, batches(r, bounded, columns, take)
}

// fits compares what the footer says of the file with what it may hold.
func fits(f io.ReaderAt, r *parquetfile.Reader, most, budget int) error {
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
			}
			if err := checkPages(f, chunk); err != nil {
				return err
			}
		}
	}
	least := int64(0) // bytes of a row
	for i := range r.MetaData().Schema.NumColumns() {
		switch r.MetaData().Schema.Column(i).PhysicalType() {
		case parquet.Types.Boolean:
			least++
		case parquet.Types.Int32:
			least += 4
		case parquet.Types.ByteArray:
			least += textBytes
		default:
			least += 8
		}
	}
	if rows > int64(budget)/max(least, 1) {
		return errWhole
	}
	return nil
}

// errWhole is what a table is refused with that is too large to be read as one.
var errWhole = fmt.Errorf("a table of more than %d MB, want less", mostWhole>>20)

// Bytes of memory that a text and a list take besides what they hold.
const (
	textBytes = 16
	listBytes = 24
)

// bytes returns the memory that a table takes.
func (t Table) bytes() int {
	total := 0
	for _, c := range t.Columns {
		switch v := c.Values.(type) {
		case []bool:
			total += len(v)
		case []int32:
			total += 4 * len(v)
		case []string:
			total += textsBytes(v)
		case [][]string:
			for _, list := range v {
				total += listBytes + textsBytes(list)
			}
		default:
			total += 8 * length(v)
		}
	}
	return total
}

func textsBytes(texts []string) int {
	total := textBytes * len(texts)
	for _, text := range texts {
		total += len(text)
	}
	return total
}

// batches decodes the columns some rows at a time.
func batches(r *parquetfile.Reader, bounded memory.Allocator, columns []string, take func(part Table, rows int) error) error {
	a, err := pqarrow.NewFileReader(r, pqarrow.ArrowReadProperties{BatchSize: batch}, bounded)
	if err != nil {
		return err
	}
	var leaves []int
	for i := range r.MetaData().Schema.NumColumns() {
		if columns == nil || slices.Contains(columns, r.MetaData().Schema.Column(i).ColumnPath()[0]) {
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
			err = take(t, int(r.NumRows()))
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
	if taken > 0 || columns != nil {
		return nil
	}
	t, err := tableOf(records.Schema(), make([]arrow.Array, len(records.Schema().Fields())))
	if err != nil {
		return err
	}
	return take(t, 0)
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

// roomFor returns none of the values of a column, with room for so many.
func roomFor(values any, rows int) any {
	switch values.(type) {
	case []float64:
		return make([]float64, 0, rows)
	case Nullable:
		return make(Nullable, 0, rows)
	case []int32:
		return make([]int32, 0, rows)
	case []int64:
		return make([]int64, 0, rows)
	case []bool:
		return make([]bool, 0, rows)
	case []string:
		return make([]string, 0, rows)
	}
	return make([][]string, 0, rows)
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
