package optimize

import (
	"math"
	"math/rand"
)

// An operator makes children from members of a population.
type operator uint8

const (
	crossing     operator = iota // simulated binary crossover of two
	differential                 // one plus the difference of two others
	line                         // on the line through two
	operators
)

const (
	crossIndex  = 20  // distribution index of crossover
	mutateIndex = 20  // distribution index of mutation
	crossChance = 0.9 // that a pair is crossed at all
	deScale     = 0.5 // F of differential evolution
	deChance    = 0.9 // CR of it
	lineSpread  = 0.5 // standard deviation along the line, in distances of the two

	// Some mutations of Default forget the gene and draw one from the whole
	// axis: without them a piece of the front that the population has lost stays
	// lost. The draw goes beyond both ends by a share of the axis and is brought
	// back, since limits often leave the best on an end.
	farShare  = 0.1
	farBeyond = 0.1

	creditMemory = 0.8
	creditFloor  = 0.1 // least chance of an operator
)

// choose draws an operator in proportion to the credits, none below the floor.
func choose(credits []float64, rng *rand.Rand) operator {
	sum := 0.0
	for _, c := range credits {
		sum += c
	}
	u := rng.Float64()
	for op, c := range credits {
		share := 1 / float64(len(credits))
		if sum > 0 {
			share = c / sum
		}
		u -= creditFloor + float64((1-float64(len(credits))*creditFloor)*share)
		if u < 0 {
			return operator(op)
		}
	}
	return operator(len(credits) - 1)
}

// credit mixes into credits the share of each operator's children that
// survived. An operator without children keeps its credit.
func credit(credits []float64, born, survived [operators]int) {
	for op := range credits {
		if born[op] > 0 {
			rate := float64(survived[op]) / float64(born[op])
			credits[op] = float64(creditMemory*credits[op]) + float64((1-creditMemory)*rate)
		}
	}
}

// root21 returns u^(1/21), 21 being both indices plus one, for u ≥ 0. It does so
// by Halley's method, in less time than by logarithms, and without the library's
// exponential, which is not the same on every amd64 processor. A 21st part of
// the bits, whose upper ones are the exponent, is within 4 % of the root; each
// step leaves some 37 times the cube of the error, so that the third is exact
// but for rounding.
func root21(u float64) float64 {
	if u <= 0 {
		return 0
	}
	const (
		one     = 1023 << 52            // the bits of 1
		centred = 43 * (1 << 52) / 1000 // half of what log₂(1 + m) is above m at most
	)
	y := math.Float64frombits(math.Float64bits(u)/21 + (one - one/21 - centred))
	for range 3 {
		p := power21(y)
		y *= (float64(10*p) + float64(11*u)) / (float64(11*p) + float64(10*u))
	}
	return y
}

// power21 returns u²¹.
func power21(u float64) float64 {
	u2 := u * u
	u4 := u2 * u2
	u16 := u4 * u4 * u4 * u4
	return u16 * u4 * u
}

// simulatedBinary crosses a and b in place, within the axes: each gene with a
// chance of one half.
//
// Source: Deb & Agrawal, Complex Systems 9(2) 115–148 (1995), with the bounded
// distribution of Deb & Goyal, Computer Science and Informatics 26(4) 30–45
// (1996).
func simulatedBinary(axes []axis, a, b []float64, rng *rand.Rand) {
	var coins uint64
	for i := range a {
		if i%32 == 0 {
			coins = rng.Uint64()
		}
		cross, swap := coins&1 == 1, coins&2 == 2
		coins >>= 2
		low, high := axes[i].low, axes[i].high
		x, y := min(a[i], b[i]), max(a[i], b[i])
		if axes[i].unordered {
			if cross && swap {
				a[i], b[i] = b[i], a[i]
			}
			continue
		}
		if !cross || y-x <= 1e-14*(high-low) {
			continue
		}
		u := rng.Float64()
		lower := beta(u, 1+2*(x-low)/(y-x))
		upper := lower
		if h := 1 + 2*(high-y)/(y-x); x-low != high-y {
			upper = beta(u, h)
		}
		c := min(max(0.5*((x+y)-lower*(y-x)), low), high)
		d := min(max(0.5*((x+y)+upper*(y-x)), low), high)
		if swap {
			c, d = d, c
		}
		a[i], b[i] = c, d
	}
}

// beta draws the ratio of the distance of the children to that of their
// parents; it is at most most.
func beta(u, most float64) float64 {
	alpha := 2.0
	if most < 6 { // above, the last term is below the precision of alpha
		alpha -= 1 / power21(most)
	}
	if u*alpha <= 1 {
		return root21(u * alpha)
	}
	return 1 / root21(2-u*alpha)
}

// polynomial mutates each gene with a chance of 1/n, within the axes. An index
// moves by at least one step. far is the share of mutations that draw from the
// whole axis.
//
// Source: Deb & Goyal (1996), the bounded form.
func polynomial(axes []axis, genes []float64, far float64, rng *rand.Rand) {
	n := len(genes)
	if n == 1 {
		mutate(&axes[0], &genes[0], far, rng)
		return
	}
	// The gap to the next gene has a geometric distribution.
	scale := 1 / math.Log1p(-1/float64(n))
	for i := gap(scale, rng); i < n; i += 1 + gap(scale, rng) {
		mutate(&axes[i], &genes[i], far, rng)
	}
}

func gap(scale float64, rng *rand.Rand) int {
	return int(min(math.Log(1-rng.Float64())*scale, 1<<30))
}

func mutate(a *axis, gene *float64, far float64, rng *rand.Rand) {
	u := rng.Float64()
	span := a.high - a.low
	if span <= 0 {
		return
	}
	x := a.settle(*gene)
	if a.unordered {
		*gene = a.other(x, u)
		return
	}
	y := a.low + (u+farBeyond*(2*u-1))*span
	switch {
	case far > 0 && happens(rng, far):
	case u < 0.5:
		free := 1 - (x-a.low)/span
		y = x + (root21(2*u+(1-2*u)*power21(free))-1)*span
	default:
		free := 1 - (a.high-x)/span
		y = x + (1-root21(2*(1-u)+(2*u-1)*power21(free)))*span
	}
	y = a.settle(y)
	if a.whole && y == x {
		step := math.Copysign(1, u-0.5)
		if y = a.settle(x + step); y == x {
			y = a.settle(x - step)
		}
	}
	*gene = y
}

// difference writes a + F (b − c) into the genes of child, each with a chance
// of CR and one of them always.
//
// Source: Storn & Price, Journal of Global Optimization 11 341–359 (1997).
func difference(axes []axis, child, a, b, c []float64, rng *rand.Rand) {
	always := rng.Intn(len(child))
	for i := range child {
		if i == always || happens(rng, deChance) {
			if axes[i].unordered {
				child[i] = taken(a[i], b[i], c[i])
				continue
			}
			child[i] = min(max(a[i]+deScale*(b[i]-c[i]), axes[i].low), axes[i].high)
		}
	}
}

// along moves child along the line from b to a.
func along(axes []axis, child, a, b []float64, rng *rand.Rand) {
	t := normal(rng) * lineSpread
	for i := range child {
		if axes[i].unordered {
			if t < -0.5 { // nearer to b
				child[i] = b[i]
			}
			continue
		}
		child[i] = min(max(child[i]+t*(a[i]-b[i]), axes[i].low), axes[i].high)
	}
}

// stratified fills genes, a row a design, so that each gene takes every n-th
// part of its axis once.
func stratified(axes []axis, rows [][]float64, rng *rand.Rand) {
	n := len(rows)
	order := make([]int, n)
	for j := range axes {
		a := &axes[j]
		for i := range order {
			order[i] = i
		}
		rng.Shuffle(n, func(i, k int) { order[i], order[k] = order[k], order[i] })
		for i, row := range rows {
			u := (float64(order[i]) + rng.Float64()) / float64(n)
			if a.whole {
				row[j] = min(math.Floor(u*(a.high+1)), a.high)
			} else {
				row[j] = a.settle(a.low + u*(a.high-a.low))
			}
		}
	}
}

func settle(axes []axis, genes []float64) {
	for i := range genes {
		genes[i] = axes[i].settle(genes[i])
	}
}
