package table

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strconv"

	"github.com/apache/arrow/go/v15/arrow"
	"github.com/apache/arrow/go/v15/arrow/array"
	"github.com/apache/arrow/go/v15/arrow/memory"
	parquetfile "github.com/apache/arrow/go/v15/parquet/file"
	"github.com/apache/arrow/go/v15/parquet/metadata"
	"github.com/apache/arrow/go/v15/parquet/pqarrow"

	"ullage/output/file"
)

// Read reads a table that Write wrote, with its schema metadata. A
// file cut short, one of another origin and one of a newer format are refused.
// It trusts the bytes: changed ones can exhaust the memory. Those of a run are
// read with Run.ReadTable, which does not.
func Read(path string) (Table, Meta, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return Table{}, Meta{}, fmt.Errorf("read %s: %w", path, file.Cause(err))
	}
	return Decode(path, data)
}

// Decode returns the table and the metadata of the bytes of a Parquet file;
// path stands in its errors, which are those of Read.
func Decode(path string, data []byte) (Table, Meta, error) {
	t, m, err := decodeParquet(data)
	if err != nil {
		return Table{}, Meta{}, fmt.Errorf("read %s: %w", path, err)
	}
	return t, m, nil
}

func decodeParquet(data []byte) (t Table, m Meta, err error) {
	// The Parquet reader panics on some damaged files.
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("damaged: %v", r)
		}
	}()
	r, err := parquetfile.NewParquetReader(bytes.NewReader(data))
	if err != nil {
		return t, m, err
	}
	defer r.Close()
	a, err := pqarrow.NewFileReader(r, pqarrow.ArrowReadProperties{}, memory.NewGoAllocator())
	if err != nil {
		return t, m, err
	}
	table, err := a.ReadTable(context.Background())
	if err != nil {
		return t, m, err
	}
	if m, err = meta(r.MetaData().KeyValueMetadata()); err != nil {
		return t, m, err
	}
	for i, field := range table.Schema().Fields() {
		c, err := column(field, table.Column(i).Data())
		if err != nil {
			return t, m, err
		}
		t.Columns = append(t.Columns, c)
	}
	return t, m, t.check()
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

func column(field arrow.Field, data *arrow.Chunked) (Column, error) {
	value := func(key string) string {
		v, _ := field.Metadata.GetValue(key)
		return v
	}
	c := Column{
		Name: field.Name, Unit: value("unit"), Role: Role(value("role")), Sense: value("sense"), Doc: value("doc"),
	}
	switch field.Type.ID() {
	case arrow.FLOAT64:
		if field.Nullable {
			c.Values = read(data, func(a *array.Float64, i int) Value { return Of(a.Value(i), a.IsValid(i)) })
		} else {
			c.Values = read(data, (*array.Float64).Value)
		}
	case arrow.INT32:
		c.Values = read(data, (*array.Int32).Value)
	case arrow.BOOL:
		c.Values = read(data, (*array.Boolean).Value)
	case arrow.STRING:
		c.Values = read(data, (*array.String).Value)
	case arrow.LIST:
		c.Values = read(data, func(a *array.List, i int) []string {
			from, to := a.ValueOffsets(i)
			texts := make([]string, 0, to-from)
			for j := from; j < to; j++ {
				texts = append(texts, a.ListValues().(*array.String).Value(int(j)))
			}
			return texts
		})
	default:
		return c, fmt.Errorf("column %s: type %s, want one that this program writes", field.Name, field.Type)
	}
	return c, nil
}

// read copies all values out of the chunks of a column.
func read[A arrow.Array, T any](data *arrow.Chunked, value func(A, int) T) []T {
	values := make([]T, 0, data.Len())
	for _, chunk := range data.Chunks() {
		a := chunk.(A)
		for i := range a.Len() {
			values = append(values, value(a, i))
		}
	}
	return values
}
