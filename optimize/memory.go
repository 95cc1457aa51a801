package optimize

import (
	"math"
	"math/bits"
)

// fingerprint hashes genes, never to 0. Two designs among 10⁶ share one with a
// chance of 3e-8: then the second would not be flown, which does no harm.
func fingerprint(genes []float64) uint64 {
	h := uint64(0x9e3779b97f4a7c15)
	for _, g := range genes {
		// g + 0 turns a negative zero into zero.
		hi, lo := bits.Mul64(h^math.Float64bits(g+0), 0xd6e8feb86659fd93)
		h = hi ^ lo + 0x2545f4914f6cdd1d
	}
	return max(mix(h, 0), 1)
}

// A memory is the set of fingerprints of the designs flown: an open table with
// a length that is a power of two, 0 where a place is free. It is a plain
// slice so that it travels with its island.
type memory []uint64

func (m memory) holds(f uint64) bool {
	if len(m) == 0 {
		return false
	}
	for i := f & uint64(len(m)-1); m[i] != 0; i = (i + 1) & uint64(len(m)-1) {
		if m[i] == f {
			return true
		}
	}
	return false
}

// with returns the memory with f in it; held is the number it held before.
func (m memory) with(f uint64, held int) memory {
	if 2*(held+1) > len(m) {
		old := m
		m = make(memory, max(256, 2*len(old)))
		for _, g := range old {
			if g != 0 {
				m.put(g)
			}
		}
	}
	m.put(f)
	return m
}

func (m memory) put(f uint64) {
	i := f & uint64(len(m)-1)
	for m[i] != 0 {
		i = (i + 1) & uint64(len(m)-1)
	}
	m[i] = f
}
