package optimize

import (
	"encoding/binary"
	"math"
	"slices"
)

// wire is fields that are being written.
type wire []byte

func (w *wire) word(v uint64) { *w = binary.LittleEndian.AppendUint64(*w, v) }
func (w *wire) count(n int)   { w.word(uint64(n)) }
func (w *wire) room(n int)    { *w = slices.Grow(*w, n) }

func (w *wire) whole(values ...int) {
	for _, v := range values {
		w.word(uint64(v))
	}
}

func (w *wire) floats(values []float64) {
	w.count(len(values))
	w.room(8 * len(values))
	for _, v := range values {
		w.word(math.Float64bits(v))
	}
}

func (w *wire) truths(values []bool) {
	w.count(len(values))
	for _, v := range values {
		b := byte(0)
		if v {
			b = 1
		}
		*w = append(*w, b)
	}
}

func (w *wire) bytes(data []byte) {
	w.count(len(data))
	*w = append(*w, data...)
}

func (w *wire) rows(r *Rows) {
	w.floats(r.Genes)
	w.floats(r.Goals)
	w.floats(r.Violations)
	w.floats(r.Slack)
	w.truths(r.Failed)
}

// A reader takes fields off what is left. From the first that cannot be, it
// yields zeros.
type reader struct {
	left []byte
	bad  bool
}

func (r *reader) spoil() { r.left, r.bad = nil, true }

func (r *reader) atEnd() bool { return !r.bad && len(r.left) == 0 }

func (r *reader) take(n int) []byte {
	if n > len(r.left) {
		r.spoil()
		return nil
	}
	out := r.left[:n]
	r.left = r.left[n:]
	return out
}

func (r *reader) word() uint64 {
	if b := r.take(8); b != nil {
		return binary.LittleEndian.Uint64(b)
	}
	return 0
}

// whole reads numbers from 0.
func (r *reader) whole(values ...*int) {
	for _, v := range values {
		word := r.word()
		if word > math.MaxInt {
			r.spoil()
			return
		}
		*v = int(word)
	}
}

// count reads a number of items that follow, each of so many bytes at least:
// as many as there can be, so that room may be made for them.
func (r *reader) count(size int) int {
	n := r.word()
	if n > uint64(len(r.left)/size) {
		r.spoil()
		return 0
	}
	return int(n)
}

func (r *reader) floats() []float64 {
	n := r.count(8)
	if n == 0 {
		return nil
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Float64frombits(r.word())
	}
	return out
}

func (r *reader) truths() []bool {
	var out []bool
	for _, b := range r.take(r.count(1)) {
		if b > 1 {
			r.spoil()
		}
		out = append(out, b == 1)
	}
	return out
}

func (r *reader) bytes() []byte { return r.take(r.count(1)) }

func (r *reader) rows(rows *Rows) {
	rows.Genes, rows.Goals, rows.Violations, rows.Slack = r.floats(), r.floats(), r.floats(), r.floats()
	rows.Failed = r.truths()
}
