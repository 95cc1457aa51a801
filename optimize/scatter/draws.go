package scatter

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
)

// Draws are deviations from what a design sets, drawn once and used for every
// design, so that designs differ by what they are and not by their luck.
type Draws struct {
	PerDay int // flights of one day, one behind the other

	laws []Law
	z    [][]float64 // a row a flight: standard normal, for each of the laws
}

// A Purpose keeps the draws of one apart from those of another: what was
// searched with is no proof.
type Purpose uint64

// The purposes.
const (
	Search Purpose = iota + 1
	Proof
	Report
	Calling   // go or no-go
	Doubting  // of what is not known
	Forecast  // of the flights to come after a fit
	Screening // of designs that are worth a proof
)

const (
	farthest = 3  // deviations at which the normal distribution is cut
	fewDraws = 15 // up to this many are matched to their moments

	// matchings is how many hypercubes are drawn to find one of few flights
	// that is nearly uncorrelated; a hundred times more gains little.
	matchings = 1000
)

// New returns the deviations of n flights, whole days of perDay each: a Latin
// hypercube of the normal distribution cut at three deviations. Few are taken
// from the least correlated of many hypercubes and have the mean 0 and the
// deviation 1 themselves. The same arguments give the same draws.
func New(b *brief.Brief, p Purpose, n, perDay int, seed uint64) *Draws {
	return draw(Laws(b.Day), Laws(b.Scatter), p, n, perDay, seed)
}

// draw returns deviations by laws of a day and laws of each flight.
func draw(bias, shot []Law, p Purpose, n, perDay int, seed uint64) *Draws {
	d := &Draws{PerDay: perDay, laws: slices.Concat(bias, shot)}
	src := rand.NewPCG(seed, uint64(p))
	var best *mat.Dense
	least := math.Inf(1)
	tries := 1
	if n <= fewDraws {
		tries = matchings
	}
	for range tries {
		m := hypercube(len(bias), len(shot), n, perDay, src)
		if tries == 1 {
			best = m
			break
		}
		standardise(m)
		if c := correlation(m); c < least {
			best, least = m, c
		}
	}
	for i := range n {
		d.z = append(d.z, best.RawRowView(i))
	}
	return d
}

// hypercube returns a row a flight; all flights of a day share its first
// columns.
func hypercube(bias, shot, n, day int, src rand.Source) *mat.Dense {
	m := mat.NewDense(n, max(bias+shot, 1), nil)
	if bias > 0 {
		of := normals(n/day, bias, src)
		for i := range n {
			copy(m.RawRowView(i)[:bias], of.RawRowView(i/day))
		}
	}
	if shot > 0 {
		of := normals(n, shot, src)
		for i := range n {
			copy(m.RawRowView(i)[bias:], of.RawRowView(i))
		}
	}
	return m
}

// Normals returns n rows of wide deviations each, as New draws them, for what
// has no Law in the brief. The same arguments give the same rows.
func Normals(p Purpose, n, wide int, seed uint64) [][]float64 {
	m := normals(n, max(wide, 1), rand.NewPCG(seed, uint64(p)))
	rows := make([][]float64, n)
	for i := range rows {
		rows[i] = m.RawRowView(i)[:wide]
	}
	return rows
}

func normals(n, wide int, src rand.Source) *mat.Dense {
	m := mat.NewDense(n, wide, nil)
	samplemv.LatinHypercube{Q: distmv.NewUnitUniform(wide, nil), Src: src}.Sample(m)
	m.Apply(func(_, _ int, u float64) float64 { return between(-farthest, farthest, u) }, m)
	return m
}

// between returns the u-quantile of the standard normal distribution cut at
// low and high.
func between(low, high, u float64) float64 {
	from, to := below(low), below(high)
	return min(max(mathext.NormalQuantile(from+u*(to-from)), low), high)
}

// below returns the chance that a standard normal number lies below z, for the
// deviations that are drawn, |z| ≤ 3, to 1e-15. It is the same on every
// processor of an architecture, which the standard library's error function is
// not: that takes exponentials by instructions that some processors lack.
//
//	Φ(z) = ½ + φ(z) (z + z³/3 + z⁵/(3·5) + …)
//
// Source: Abramowitz & Stegun, Handbook of Mathematical Functions (1964),
// 26.2.11; from memory.
func below(z float64) float64 {
	term, sum, before := z, z, 0.0
	for k := 3.0; sum != before; k += 2 {
		before = sum
		term *= z * z / k
		sum += term
	}
	return 0.5 + sum*math.Exp2(-z*z/2*math.Log2E)/math.Sqrt(2*math.Pi)
}

// standardise gives every column the mean 0 and the deviation 1.
func standardise(m *mat.Dense) {
	n, wide := m.Dims()
	column := make([]float64, n)
	for j := range wide {
		mat.Col(column, j, m)
		mean, deviation := constraints.Moments(column)
		for i, v := range column {
			z := 0.0
			if deviation > 0 {
				z = (v - mean) / deviation
			}
			m.Set(i, j, min(max(z, -farthest), farthest))
		}
	}
}

// correlation returns the sum of the squared correlations of all columns.
func correlation(m *mat.Dense) float64 {
	n, wide := m.Dims()
	a, b := make([]float64, n), make([]float64, n)
	sum := 0.0
	for j := range wide {
		mat.Col(a, j, m)
		for k := range j {
			mat.Col(b, k, m)
			c := stat.Correlation(a, b, nil)
			sum += c * c
		}
	}
	return sum
}

// Flights returns the number of flights that were drawn.
func (d *Draws) Flights() int { return len(d.z) }

// At turns r and s into the rocket and the site of flight i, from 0, of the
// design own at around. It does not allocate.
func (d *Draws) At(i int, own *model.Rocket, around *model.Site, r *model.Rocket, s *model.Site) {
	*r, *s = *own, *around
	for k, z := range d.z[i] {
		of := &d.laws[k]
		of.Deviate(z, of.Value(own, around), r, s)
	}
}
