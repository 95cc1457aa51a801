package optimize

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrCorrupt is in the chain of every error about bytes that are not all that
// was written, and nothing else: a file cut short, a bit turned on its way.
var ErrCorrupt = errors.New("damaged")

// The wire form of a value is a frame around its fields: four letters that
// name the kind, the version, the length of the fields, the fields, and the
// SHA-256 of all before. Numbers are eight bytes, the lowest first; a slice is
// its length and its items.
const (
	wireVersion = 2
	frameHead   = 4 + 4 + 8
	islandKind  = "isl1"
	stateKind   = "stt1"
)

// seal returns fields in a frame.
func seal(kind string, fields []byte) []byte {
	out := make([]byte, 0, frameHead+len(fields)+sha256.Size)
	out = append(out, kind...)
	out = binary.LittleEndian.AppendUint32(out, wireVersion)
	out = binary.LittleEndian.AppendUint64(out, uint64(len(fields)))
	out = append(out, fields...)
	sum := sha256.Sum256(out)
	return append(out, sum[:]...)
}

// unseal returns the fields in a frame.
func unseal(kind string, data []byte) ([]byte, error) {
	if len(data) < frameHead+sha256.Size {
		return nil, fmt.Errorf("%w: %d bytes, want at least %d", ErrCorrupt, len(data), frameHead+sha256.Size)
	}
	if string(data[:4]) != kind {
		return nil, fmt.Errorf("%w: begins with %q, want %q", ErrCorrupt, data[:4], kind)
	}
	if v := binary.LittleEndian.Uint32(data[4:]); v != wireVersion {
		return nil, fmt.Errorf("wire version %d, this build reads %d", v, wireVersion)
	}
	body := data[:len(data)-sha256.Size]
	if n := binary.LittleEndian.Uint64(data[8:]); n != uint64(len(body)-frameHead) {
		return nil, fmt.Errorf("%w: %d bytes of fields, its head says %d", ErrCorrupt, len(body)-frameHead, n)
	}
	if sum := sha256.Sum256(body); !bytes.Equal(sum[:], data[len(body):]) {
		return nil, fmt.Errorf("%w: checksum mismatch", ErrCorrupt)
	}
	return body[frameHead:], nil
}

// MarshalBinary returns the wire form of the island: equal islands give equal
// bytes. The error is always nil.
func (isl *Island) MarshalBinary() ([]byte, error) {
	var w wire
	w.whole(isl.Index, isl.Generation, isl.Flights, isl.Feasible, isl.Failed)
	w.truths([]bool{isl.Exhausted})
	w.rows(&isl.Population)
	w.rows(&isl.Archive)
	w.count(len(isl.Blocks))
	for _, n := range isl.Blocks {
		w.whole(int(n))
	}
	w.rows(&isl.Kept)
	w.floats(isl.Credits)
	w.floats(isl.Scales)
	w.floats(isl.Worst)
	// The places in the table tell nothing, and most of them are free.
	prints := make([]uint64, 0, isl.Held)
	for _, f := range isl.Flown {
		if f != 0 {
			prints = append(prints, f)
		}
	}
	slices.Sort(prints)
	w.count(len(prints))
	w.room(8 * len(prints))
	for _, f := range prints {
		w.word(f)
	}
	return seal(islandKind, w), nil
}

// UnmarshalBinary reads what MarshalBinary wrote. For any other bytes it
// returns an error that wraps ErrCorrupt, or one that says which version it
// cannot read, and leaves the island as it was.
func (isl *Island) UnmarshalBinary(data []byte) error {
	fields, err := unseal(islandKind, data)
	if err != nil {
		return fmt.Errorf("island: %w", err)
	}
	r := reader{left: fields}
	var c Island
	r.whole(&c.Index, &c.Generation, &c.Flights, &c.Feasible, &c.Failed)
	exhausted := r.truths()
	r.rows(&c.Population)
	r.rows(&c.Archive)
	for range r.count(8) {
		var n int
		r.whole(&n)
		if n > math.MaxInt32 {
			r.spoil()
		}
		c.Blocks = append(c.Blocks, int32(n))
	}
	r.rows(&c.Kept)
	c.Credits, c.Scales, c.Worst = r.floats(), r.floats(), r.floats()
	last := uint64(0) // which no fingerprint is
	for range r.count(8) {
		f := r.word()
		if f <= last {
			r.spoil()
			break
		}
		c.Flown = memory(c.Flown).with(f, c.Held)
		c.Held++
		last = f
	}
	if len(exhausted) != 1 || !r.atEnd() {
		return fmt.Errorf("island: %w: fields that no island has", ErrCorrupt)
	}
	c.Exhausted = exhausted[0]
	*isl = c
	return nil
}
