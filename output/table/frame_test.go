package table

import (
	"encoding/binary"
	"slices"
	"testing"
)

// frame writes a frame of Zstandard as RFC 8878, section 3.1.1, lays it out: width is
// that of the size that it states in bytes, 0 to state none, single whether it is one
// segment, dictionary how many bytes name one; then come blocks of raw bytes, and of
// one byte that is repeated.
func frame(width int, single bool, window byte, dictionary int, size uint64, checksum bool, blocks ...[]byte) []byte {
	flags := map[int]byte{0: 0, 1: 0, 2: 1 << 6, 4: 2 << 6, 8: 3 << 6}[width] | map[int]byte{0: 0, 1: 1, 2: 2, 4: 3}[dictionary]
	if single {
		flags |= 1 << 5
	}
	if checksum {
		flags |= 1 << 2
	}
	out := append([]byte{0x28, 0xB5, 0x2F, 0xFD}, flags)
	if !single {
		out = append(out, window)
	}
	out = append(out, make([]byte, dictionary)...)
	stated := size
	if width == 2 {
		stated -= 256
	}
	out = append(out, binary.LittleEndian.AppendUint64(nil, stated)[:width]...)
	for i, block := range blocks {
		head := len(block) << 3
		if len(block) == 1 {
			head = 100_000<<3 | 1<<1 // repeated so often
		}
		if i == len(blocks)-1 {
			head |= 1
		}
		out = append(append(out, byte(head), byte(head>>8), byte(head>>16)), block...)
	}
	if checksum {
		out = append(out, 1, 2, 3, 4)
	}
	return out
}

// A page is one frame that states its size, or one block without: whatever form a
// frame may have, it is taken with the size that it states and with no other, and
// neither cut nor with a byte more.
func TestOneFrame(t *testing.T) {
	raw, long := []byte("some bytes"), slices.Repeat([]byte{7}, 70_000)
	const window = 13 << 3
	for _, row := range []struct {
		why   string
		size  uint64
		data  []byte
		taken bool
	}{
		{"a byte of size", 10, frame(1, true, 0, 0, 10, false, raw), true},
		{"two bytes of size", 300, frame(2, true, 0, 0, 300, false, raw), true},
		{"the least of two bytes", 256, frame(2, false, window, 0, 256, false, raw), true},
		{"four bytes of size", 100_000, frame(4, false, window, 0, 100_000, false, raw, raw), true},
		{"eight bytes of size", 1 << 33, frame(8, true, 0, 0, 1<<33, false, raw), true},
		{"a checksum", 300, frame(2, true, 0, 0, 300, true, raw), true},
		{"a dictionary of a byte", 300, frame(2, true, 0, 1, 300, false, raw), true},
		{"a dictionary of two bytes", 300, frame(2, false, window, 2, 300, true, raw), true},
		{"a dictionary of four bytes", 300, frame(2, true, 0, 4, 300, false, raw), true},
		{"a byte that is repeated", 100_000, frame(4, true, 0, 0, 100_000, false, []byte{7}), true},
		{"one that is repeated, and more", 100_010, frame(4, true, 0, 0, 100_010, false, []byte{7}, raw), true},
		{"a block as long as there are", 70_000, frame(4, true, 0, 0, 70_000, false, long), true},
		{"no block that holds anything", 300, frame(2, true, 0, 0, 300, false, nil), true},
		{"one block and no size", 10, frame(0, false, window, 0, 0, false, raw), true},
		{"the largest window", 300, frame(2, false, window|7, 0, 300, false, raw), true},
		{"a larger window", 300, frame(2, false, 14<<3, 0, 300, false, raw), false},
		{"two blocks and no size", 20, frame(0, false, window, 0, 0, false, raw, raw), false},
		{"no size and a larger window", 10, frame(0, false, 14<<3, 0, 0, false, raw), false},
	} {
		if got := oneFrame(row.data, row.size); got != row.taken {
			t.Errorf("%s: taken %v, want %v", row.why, got, row.taken)
		}
		if !row.taken {
			continue
		}
		states := row.why != "one block and no size"
		for _, size := range []uint64{row.size - 1, row.size + 1, row.size + 256} {
			if oneFrame(row.data, size) == states {
				t.Errorf("%s: taken for %d bytes, it says %d", row.why, size, row.size)
			}
		}
		if oneFrame(append(slices.Clone(row.data), 0), row.size) {
			t.Errorf("%s: taken with a byte more", row.why)
		}
		for cut := range min(len(row.data), 30) {
			if oneFrame(row.data[:cut], row.size) || oneFrame(row.data[:len(row.data)-1-cut], row.size) {
				t.Errorf("%s: taken with %d bytes of it, or as many fewer", row.why, cut)
			}
		}
		wrong := slices.Clone(row.data)
		wrong[3] ^= 1
		if oneFrame(wrong, row.size) {
			t.Errorf("%s: taken for another magic number", row.why)
		}
	}
}
