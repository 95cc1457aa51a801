package optimize

import (
	"cmp"
	"math"
	"slices"

	"github.com/MaxHalford/eaopt"
)

// A search for one goal chooses the child that it flies from many that it could
// fly, by what goal and violations each may come to: planes through what the
// designs nearest to the best came to, by least squares. Where limits meet that
// finds the few directions in which the goal still gets better and no limit is
// missed; children at random seldom do.
//
// How far planes can be trusted shows in how much of the differences among those
// designs they account for. In that share of cases, none below a half, the child
// is chosen by them.
//
// Evaluations of a limit that say nothing of how far inside it a design is bend
// the planes: then children are not chosen.
//
// The form is ours.
const (
	mostChoice  = 120  // children from which one is chosen, at most; as many as chance has it, so that not all go the same way
	nearPoints  = 6    // designs for each number that a plane is made of
	leastPoints = 1.5  // of the same, below which there is no plane
	leastTrust  = 0.5  // below which planes are not used
	mostSeen    = 1000 // designs among which the nearest are looked for
)

// A sighting is a design that was flown in this epoch.
type sighting struct {
	genes []float64
	came  []float64 // goal, then violations
}

// A forecast guesses what designs come to. It is valid for one generation.
type forecast struct {
	best   []float64
	width  []float64   // of the population along each axis; 0: it has none, or no order
	planes [][]float64 // of the goal, then of the violations
	trust  float64
	leeway float64 // sum of scaled violations that may be missed
	row    []float64
}

// watch remembers designs that were flown.
func (e *epoch) watch(flown eaopt.Individuals) {
	for i := range flown {
		g := flown[i].Genome.(*genome)
		if !g.result.Failed {
			came := append(slices.Clone(g.result.Goals), g.result.Violations...)
			e.seen = append(e.seen, sighting{genes: slices.Clone(g.genes), came: came})
		}
	}
	e.seen = e.seen[max(0, len(e.seen)-mostSeen):]
}

// foresee makes the forecast for the children of members that are in order, nil
// where there is none to be trusted.
func (e *epoch) foresee(parents eaopt.Individuals) *forecast {
	if e.problem.Limits > 0 && !e.problem.Distances {
		return nil
	}
	if len(e.seen) == 0 {
		e.watch(parents)
	}
	f := &forecast{best: parents[0].Genome.(*genome).genes, leeway: e.leewayNow()}
	numbers := 1
	for j := range e.axes {
		low, high := span(parents, j)
		width := (high - low) / 2
		switch {
		case e.axes[j].unordered:
			width = 0
		case e.axes[j].whole:
			width = max(width, 1)
		}
		f.width = append(f.width, width)
		if width > 0 {
			numbers++
		}
	}
	near := f.nearest(e.seen, nearPoints*numbers)
	if float64(len(near)) < leastPoints*float64(numbers) {
		return nil
	}
	rows, came := make([][]float64, len(near)), make([][]float64, len(near))
	for i, s := range near {
		rows[i], came[i] = f.rowOf(nil, s.genes), s.came
	}
	f.planes = leastSquares(rows, came)
	f.trust = 1
	for k, plane := range f.planes {
		f.trust = min(f.trust, explained(rows, came, k, plane, numbers))
	}
	if !(f.trust >= leastTrust) { // not a number, of numbers too large
		return nil
	}
	return f
}

// span returns the ends of what members take of an axis.
func span(members eaopt.Individuals, axis int) (low, high float64) {
	low, high = inf, -inf
	for i := range members {
		g := members[i].Genome.(*genome).genes[axis]
		low, high = min(low, g), max(high, g)
	}
	return low, high
}

// nearest returns at most n of the designs seen, the nearest to the best first,
// and none that differs along an axis without a width.
func (f *forecast) nearest(seen []sighting, n int) []sighting {
	type place struct {
		distance float64 // squared, in widths
		at       int
	}
	var order []place
	for at, s := range seen {
		p := place{at: at}
		for j, v := range s.genes {
			switch {
			case f.width[j] > 0:
				d := (v - f.best[j]) / f.width[j]
				p.distance += float64(d * d)
			case v != f.best[j]:
				p.distance = inf
			}
		}
		if !math.IsInf(p.distance, 0) {
			order = append(order, p)
		}
	}
	slices.SortFunc(order, func(a, b place) int { return cmp.Or(cmp.Compare(a.distance, b.distance), cmp.Compare(a.at, b.at)) })
	var near []sighting
	for _, p := range order[:min(len(order), n)] {
		near = append(near, seen[p.at])
	}
	return near
}

// rowOf appends to row what a plane multiplies: 1 and the distances from the best
// along the axes, in widths.
func (f *forecast) rowOf(row, genes []float64) []float64 {
	row = append(row, 1)
	for j, v := range genes {
		if f.width[j] > 0 {
			v = (v - f.best[j]) / f.width[j]
		} else {
			v = 0
		}
		row = append(row, v)
	}
	return row
}

// of returns the goal that a design may come to and the sum of the violations,
// each scaled.
func (f *forecast) of(genes, scales []float64) (goal, excess float64) {
	f.row = f.rowOf(f.row[:0], genes)
	for k, scale := range scales {
		if scale > 0 {
			excess += max(0, product(f.planes[k+1], f.row)) / scale
		}
	}
	return product(f.planes[0], f.row), excess
}

func product(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// explained returns the share of the variance of number k that a plane accounts
// for, as of a plane through other points: 1 of a violation that none of the
// points comes near to.
func explained(rows, came [][]float64, k int, plane []float64, numbers int) float64 {
	n, sum := float64(len(rows)), 0.0
	low, high := inf, -inf
	for _, c := range came {
		sum += c[k]
		low, high = min(low, c[k]), max(high, c[k])
	}
	if high == low || k > 0 && -high > (high-low)/2 {
		return 1
	}
	all, rest := 0.0, 0.0
	for i, c := range came {
		all += float64((c[k] - sum/n) * (c[k] - sum/n))
		off := c[k] - product(plane, rows[i])
		rest += float64(off * off)
	}
	return 1 - rest/all*(n-1)/(n-float64(numbers))
}

// smoothing is what is added to the diagonal, so that the equations can be solved
// where the rows lie in a plane of their own.
const smoothing = 1e-9

// leastSquares returns for each number in a row of came the plane that fits it
// best.
func leastSquares(rows, came [][]float64) [][]float64 {
	n, m := len(rows[0]), len(came[0])
	a := make([][]float64, n) // the normal equations, their right sides behind
	for i := range a {
		a[i] = make([]float64, n+m)
		for r, row := range rows {
			for k, v := range row {
				a[i][k] += float64(row[i] * v)
			}
			for k, v := range came[r] {
				a[i][n+k] += float64(row[i] * v)
			}
		}
	}
	for i := range a {
		if a[i][i] += smoothing * a[i][i]; a[i][i] == 0 {
			a[i][i] = 1
		}
	}
	for i := range a {
		for r := i + 1; r < n; r++ {
			s := a[r][i] / a[i][i]
			for k := i; k < n+m; k++ {
				a[r][k] -= float64(s * a[i][k])
			}
		}
	}
	planes := make([][]float64, m)
	for k := range planes {
		planes[k] = make([]float64, n)
		for i := n - 1; i >= 0; i-- {
			planes[k][i] = (a[i][n+k] - product(a[i][i+1:n], planes[k][i+1:])) / a[i][i]
		}
	}
	return planes
}

// pickForeseen makes g the best by the forecast of several children of member at
// that move towards the best and were not flown.
func (e *epoch) pickForeseen(g *genome, parents eaopt.Individuals, at int) {
	of := func(i int) []float64 { return parents[i].Genome.(*genome).genes }
	n, trial := len(parents), make([]float64, len(g.genes))
	best, least := inf, inf
	for range 1 + e.rng.Intn(mostChoice) {
		copy(trial, of(at))
		towards(e.axes, trial, of(0), of(e.rng.Intn(n)), of(e.rng.Intn(n)), e.rng)
		settle(e.axes, trial)
		goal, excess := e.ahead.of(trial, e.island.Scales)
		excess = max(0, excess-e.ahead.leeway)
		if (excess < least || excess == least && goal < best) && !memory(e.island.Flown).holds(fingerprint(trial)) {
			best, least = goal, excess
			copy(g.genes, trial)
		}
	}
}
