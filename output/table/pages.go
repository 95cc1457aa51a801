package table

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/apache/arrow/go/v15/parquet/compress"
	"github.com/apache/arrow/go/v15/parquet/metadata"
	"github.com/apache/thrift/lib/go/thrift"
)

// The decompressor asks nobody for its memory, and a page of some kilobytes may
// hold gigabytes. So before a column is decoded each of its pages has to be one
// frame of Zstandard (RFC 8878) that states the size which the page's header does,
// or one of a single block: that much the reader asks for.

var errPage = errors.New("damaged: a page that is not one frame of the size it states")

const (
	mostPlain  = 8 << 20 // bytes of a page that is not compressed
	mostHeader = 1 << 16 // bytes, more than the header of a page takes
	mostWindow = 13      // exponent of a frame's window, of which 13 is 8 MiB: what the encoder takes
)

// checkPages walks the pages of a column, compressed or not: one that is not has
// few rows.
func checkPages(r io.ReaderAt, chunk *metadata.ColumnChunkMetaData) error {
	compressed := chunk.Compression() == compress.Codecs.Zstd
	at, left := chunk.DataPageOffset(), chunk.TotalCompressedSize()
	if d := chunk.DictionaryPageOffset(); chunk.HasDictionaryPage() && d > 0 && (d < at || at == 0) {
		at = d // at 0 there is no page of data: a table without rows
	}
	if left < 0 || left > mostBytes || at < 0 {
		return errPage
	}
	for left > 0 {
		head := make([]byte, min(mostHeader, left))
		if _, err := r.ReadAt(head, at); err != nil {
			return errPage
		}
		p, err := headerOf(head)
		if err != nil || p.compressed > left-p.length || p.plain > min(p.compressed, p.size) || p.size > mostMemory {
			return errPage
		}
		if !compressed {
			if p.size != p.compressed || p.size > mostPlain {
				return fmt.Errorf("damaged: a page of %d bytes, %d of them there, want at most %d", p.size, p.compressed, mostPlain)
			}
			at, left = at+p.length+p.compressed, left-p.length-p.compressed
			continue
		}
		data := make([]byte, p.compressed)
		if _, err := r.ReadAt(data, at+p.length); err != nil {
			return errPage
		}
		if data = data[p.plain:]; len(data) > 0 && !oneFrame(data, uint64(p.size-p.plain)) {
			return errPage
		}
		at, left = at+p.length+p.compressed, left-p.length-p.compressed
	}
	return nil
}

// A pageHeader is what the header of a page says, in bytes.
type pageHeader struct {
	length           int64 // of the header itself
	size, compressed int64 // of the page, as it was and as it is
	plain            int64 // of the levels before the values, which are not compressed in version 2
}

// headerOf reads a PageHeader of the Parquet format from the start of data.
func headerOf(data []byte) (h pageHeader, err error) {
	buffer := &thrift.TMemoryBuffer{Buffer: bytes.NewBuffer(data)}
	p := thrift.NewTCompactProtocolConf(buffer, nil)
	number := func(to *int64) error {
		n, err := p.ReadI32(context.Background())
		if *to += int64(n); err == nil && n < 0 {
			err = errPage
		}
		return err
	}
	err = fields(p, func(id int16, kind thrift.TType) error {
		switch {
		case id == 2 && kind == thrift.I32:
			return number(&h.size)
		case id == 3 && kind == thrift.I32:
			return number(&h.compressed)
		case id == 8 && kind == thrift.STRUCT: // of version 2
			return fields(p, func(id int16, kind thrift.TType) error {
				if (id == 5 || id == 6) && kind == thrift.I32 { // lengths of the levels
					return number(&h.plain)
				}
				return thrift.SkipDefaultDepth(context.Background(), p, kind)
			})
		}
		return thrift.SkipDefaultDepth(context.Background(), p, kind)
	})
	h.length = int64(len(data) - buffer.Len())
	return h, err
}

// fields reads a struct, and each of its fields by read.
func fields(p thrift.TProtocol, read func(id int16, kind thrift.TType) error) error {
	ctx := context.Background()
	_, err := p.ReadStructBegin(ctx)
	for err == nil {
		var kind thrift.TType
		var id int16
		if _, kind, id, err = p.ReadFieldBegin(ctx); err != nil || kind == thrift.STOP {
			break
		}
		if err = read(id, kind); err == nil {
			err = p.ReadFieldEnd(ctx)
		}
	}
	if err == nil {
		err = p.ReadStructEnd(ctx)
	}
	return err
}

// oneFrame reports whether data is a frame that states size or has one block, and
// nothing more.
func oneFrame(data []byte, size uint64) bool {
	const magic = 0xFD2FB528
	if len(data) < 5 || binary.LittleEndian.Uint32(data) != magic {
		return false
	}
	flags := data[4]
	single := int(flags >> 5 & 1)
	at := 5 + 1 - single + []int{0, 1, 2, 4}[flags&3] // behind the window and the dictionary
	width := []int{single, 2, 4, 8}[flags>>6]
	if len(data) < at+width || single == 0 && data[5]>>3 > mostWindow {
		return false
	}
	var field [8]byte
	copy(field[:], data[at:at+width])
	stated := binary.LittleEndian.Uint64(field[:])
	if width == 2 {
		stated += 256
	}
	at += width
	blocks := 0
	for last := false; !last; blocks++ {
		if len(data) < at+3 {
			return false
		}
		block := int(data[at]) | int(data[at+1])<<8 | int(data[at+2])<<16
		last = block&1 == 1
		length := block >> 3
		if block>>1&3 == 1 { // one byte that is repeated
			length = 1
		}
		at += 3 + length
	}
	if flags>>2&1 == 1 {
		at += 4 // a checksum
	}
	// A small page states none, but a block is of 128 KiB at most.
	return at == len(data) && (width == 0 && blocks == 1 || width > 0 && stated == size)
}
