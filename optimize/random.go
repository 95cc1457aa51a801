package optimize

import (
	"math"
	"math/bits"
	"math/rand"
	randv2 "math/rand/v2"
)

// The purposes that random numbers are drawn for. Each has a sequence of its
// own, so that one more draw for one does not shift another.
const (
	purposeFirst = iota + 1
	purposeBreed
)

// A source is a generator that can be set to the start of the sequence of one
// (seed, purpose, island, generation): nothing of it needs to be saved. It
// serves math/rand because the host of the generations asks for that type.
type source struct{ randv2.PCG }

func (s *source) Int63() int64    { return int64(s.Uint64() >> 1) }
func (s *source) Seed(seed int64) { s.PCG.Seed(mix(uint64(seed), 0), mix(uint64(seed), 1)) }

func (s *source) begin(seed uint64, purpose, island, generation int) {
	key := mix(mix(mix(seed, uint64(purpose)), uint64(island)), uint64(generation))
	s.PCG.Seed(key, mix(key, 1))
}

// mix hashes a pair of words, by the finaliser of SplitMix64.
//
// Source: Steele, Lea & Flood, "Fast splittable pseudorandom number
// generators", OOPSLA 2014.
func mix(a, b uint64) uint64 {
	z := a + 0x9e3779b97f4a7c15*(b+1)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

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

// distinct fills picks with different numbers below n, none of them in use
// twice. n must be at least len(picks).
func distinct(rng *rand.Rand, n int, picks []int) {
	for i := range picks {
	again:
		picks[i] = rng.Intn(n)
		for _, p := range picks[:i] {
			if p == picks[i] {
				goto again
			}
		}
	}
}
