package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/testdata/kept"
)

// What is made of a log before any fit, or said against it, is what was kept: of logs
// from quick to slow, from quiet to rough, with holes, spikes and steps, of flights and
// of test stands.
func TestKeptTracks(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	real := flown(t)
	path, whole := finePath(t, &real.Rocket, &real.Site)
	for i, l := range []logger{
		{rate: 20, noise: 0.3, before: 4, after: 2},
		{rate: 4, noise: 0.3, before: 4, after: 2},
		{rate: 2, noise: 2, before: 8},
		{rate: 20, noise: 0, before: 0.02},
		{rate: 50, noise: 1.5, before: 1.1, after: 9, level: 212},
		{rate: 50, noise: 0.3, before: 0.9, level: -30, spikes: 5},
		{rate: 200, noise: 0.5, before: 3, after: 3},
		{rate: 20, noise: 0.3, quantum: 1, before: 4},
		{rate: 20, noise: 0.3, quantum: 5, before: 4},
		{rate: 20, noise: 0.3, before: 4, spikes: 40},
		{rate: 20, noise: 0.3, before: 4, gap: [2]float64{2, 2.26}},
		{rate: 20, noise: 0.3, before: 4, gap: [2]float64{2, 2.31}},
		{rate: 20, noise: 0.3, before: 4, gap: [2]float64{-1, 3}},
		{rate: 25, noise: 0.3, felt: 2, before: 2},
		{rate: 100, noise: 0.3, felt: 6, speed: 2, before: 2},
		{rate: 20, noise: 0.2, felt: 30, before: 2},
	} {
		src := l.write(path, whole, rand.New(rand.NewPCG(uint64(i), 33)))
		keepTrack(t, &out, fmt.Sprintf("flight %+v", l), src, real.Rocket, real.Site)
	}
	b := demo(t)
	for _, l := range [][3]float64{{500, 2, 7}, {100, 2, 7}, {60, 0.5, -20}, {40, 1, 0}, {30, 1, 0}, {2000, 1, 0}, {200, 0, 3}, {2000, 6, 7}} {
		src := standLog(b, l[0], l[1], l[2], rand.New(rand.NewPCG(5, 5)))
		keepTrack(t, &out, fmt.Sprintf("stand %v", l), []byte(src), b.Rocket, b.Site)
		lines := strings.SplitAfter(src, "\n")
		cut := slices.Concat(lines[:1], lines[int(l[0]*1.004):int(l[0]*1.5)])
		keepTrack(t, &out, fmt.Sprintf("stand %v from the release", l), []byte(strings.Join(cut, "")), b.Rocket, b.Site)
	}
	kept.Same(t, "tracks.txt", out.String())
}

// keepTrack writes what becomes of a log, in short.
func keepTrack(t *testing.T, out *strings.Builder, name string, src []byte, r model.Rocket, s model.Site) {
	t.Helper()
	fmt.Fprintln(out, name)
	log, err := ReadLog("x.csv", src, Columns{})
	if err != nil {
		fmt.Fprintln(out, err)
		return
	}
	tr, err := newTrack(&Flight{Log: log, Rocket: r, Site: s, Altimeter: TrueHeight})
	if err != nil {
		fmt.Fprintln(out, err)
		return
	}
	var count [channels]int
	var sum, at, from [channels]float64
	for _, r := range tr.readings {
		count[r.of]++
		sum[r.of] += r.value
		at[r.of] += float64(r.at)
		from[r.of] += float64(r.from)
	}
	fmt.Fprintln(out, tr.notes, len(tr.times), tr.origin, tr.level, tr.quiet, tr.lift, tr.firstHeight, tr.top, tr.topTime, tr.scales)
	fmt.Fprintln(out, count, sum, at, from)
	if !tr.bench {
		most, height, speed := tr.energy()
		fmt.Fprintln(out, most, height, speed)
	}
}

// How a search for least squares goes is what was kept: where it ends, what it costs
// and how many evaluations that takes, with derivatives and without, with a loss,
// within bounds, to a tolerance, and round places where there is nothing.
func TestKeptSearches(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	tell := func(name string, p *Problem, start []float64) {
		s, err := Solve(p, start)
		fmt.Fprintln(&out, name, start, "->", s.X, s.Cost, s.Evaluations, s.Converged, err)
	}
	for _, set := range references(t) {
		if !slices.Contains([]string{"Misra1b", "Thurber", "MGH09"}, set.Name) { // exponentials are not the same on every processor
			continue
		}
		x, y := numbers(t, set.X...), numbers(t, set.Y...)
		p := &Problem{Count: len(y), Residuals: func(b, dst []float64) bool {
			for i := range y {
				dst[i] = formulas[set.Name](b, x[i], nil) - y[i]
			}
			return true
		}}
		for _, start := range set.Starts {
			for _, tolerance := range []float64{0, 1e-4, 1e-2} {
				p.Tolerance, p.Loss = tolerance, nil
				tell(fmt.Sprintf("%s, tolerance %g", set.Name, tolerance), p, start)
			}
			p.Loss = func(r float64) (cost, weight float64) { return Huber(r / 3) }
			tell(set.Name+" by a loss", p, start)
		}
	}
	valley := func(x, dst []float64) bool {
		dst[0], dst[1], dst[2] = x[0]-1, 10*(x[1]-x[0]*x[0]), 0.1*(x[0]+x[1])
		return math.Abs(x[0]-0.5) > 0.01
	}
	p := &Problem{Count: 3, Residuals: valley}
	tell("a valley", p, []float64{-1.2, 1})
	p.Lower, p.Upper = []float64{-2, -1}, []float64{0.2, 3}
	tell("a valley within bounds", p, []float64{-1.2, 1})
	tell("a valley from beyond its bounds", p, []float64{9, -9})
	flat := func(x, dst []float64) bool { dst[0], dst[1] = x[0]-1, x[0]-2; return true }
	tell("nothing of the second", &Problem{Count: 2, Residuals: flat}, []float64{4, 5})
	tell("none at all", &Problem{Count: 2, Residuals: func(x, dst []float64) bool { dst[0], dst[1] = x[0], x[0]; return x[0] == 3 }}, []float64{3})
	for n := 1; n < 60; n += 1 + n/6 {
		fmt.Fprintln(&out, "student", n, student(0.5, n), student(0.9, n), student(0.999, n))
	}
	for _, columns := range [][]float64{{1, 0, 0, 1, 1, 1}, {1, 2, 2, 4, 3, 6}, {1, 0, 2, 0, 3, 0}, {1, 1e9, 2, 2.1e9, -1, 3e9}} {
		fmt.Fprintln(&out, "spread", columns, newSpreadOf(mat.NewDense(3, 2, columns)))
	}
	kept.Same(t, "searches.txt", out.String())
}
