package optimize

import (
	"math"
	"math/rand"
	randv2 "math/rand/v2"
	"slices"
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

func (s *source) Int63() int64 { return int64(s.Uint64() >> 1) }
func (s *source) Seed(int64)   {} // math/rand asks for it; begin alone sets a source

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

// distinct fills picks with different numbers below n, which is at least
// len(picks).
func distinct(rng *rand.Rand, n int, picks []int) {
	for i := range picks {
		picks[i] = rng.Intn(n)
		for slices.Contains(picks[:i], picks[i]) {
			picks[i] = rng.Intn(n)
		}
	}
}

// happens draws whether something of that chance does.
func happens(rng *rand.Rand, chance float64) bool { return rng.Float64() < chance }

// normal draws a standard normal deviate by the polar method. That of the
// standard library asks for an exponential now and then, which is not the same
// on every amd64 processor.
//
// Source: Marsaglia & Bray, SIAM Review 6(3) 260–264 (1964).
func normal(rng *rand.Rand) float64 {
	for {
		x, y := 2*rng.Float64()-1, 2*rng.Float64()-1
		if s := float64(x*x) + float64(y*y); s > 0 && s < 1 {
			return x * math.Sqrt(-2*math.Log(s)/s)
		}
	}
}
