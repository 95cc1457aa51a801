package sweep

import "math/rand/v2"

// A halton is a Halton sequence whose digits are permuted at random, each place
// of each base by a permutation of its own. gonum's stat/samplemv has the same
// sequence, to the last bit, but fills a matrix from the first point on: it
// could neither stream nor resume.
//
// Source: Owen, "A randomized Halton algorithm in R", arXiv:1706.02808 (2017).
type halton []base

// A base is one dimension of the sequence.
type base struct {
	number int64
	digits [][]int // of each place, the permutation
}

func newHalton(dimensions int, seed uint64) halton {
	rng := rand.New(rand.NewPCG(seed, purpose))
	h := make(halton, dimensions)
	prime := 1
	for k := range h {
		prime = nextPrime(prime)
		h[k].number = int64(prime)
		// Places that no longer change a number near 1 are left out.
		for unit := 1 / float64(prime); 1-unit < 1; unit /= float64(prime) {
			h[k].digits = append(h[k].digits, rng.Perm(prime))
		}
	}
	return h
}

// purpose keeps these random numbers apart from others of the same seed.
const purpose = 0x73776565702d31 // "sweep-1"

// at returns coordinate k of point i, both from 0, in [0, 1].
func (h halton) at(k int, i int64) float64 {
	b := h[k].number
	v, unit := 0.0, 1/float64(b)
	for _, digits := range h[k].digits {
		digit := int64(0)
		if i > 0 {
			digit, i = i%b, i/b
		}
		v += float64(float64(digits[digit]) * unit)
		unit /= float64(b)
	}
	return min(v, 1)
}

// nextPrime returns the least prime above n.
func nextPrime(n int) int {
	for n++; ; n++ {
		prime := true
		for d := 2; d*d <= n; d++ {
			if n%d == 0 {
				prime = false
				break
			}
		}
		if prime {
			return n
		}
	}
}
