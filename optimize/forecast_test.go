package optimize

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/MaxHalford/eaopt"

	"ullage/testdata/problems"
)

// The planes of numbers that are linear in the genes are exact, wherever the rows
// stand, and rows that leave a direction open give finite ones.
func TestLeastSquares(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var rows, came [][]float64
	for range 20 {
		x, y := rng.Float64(), 100*rng.Float64()
		rows, came = append(rows, []float64{1, x, y, 0, x + y}), append(came, []float64{3 + 2*x - y, -5, 7 * y})
	}
	planes := leastSquares(rows, came)
	for i, row := range rows {
		for k, want := range came[i] {
			if got := product(planes[k], row); math.Abs(got-want) > 1e-5*(1+math.Abs(want)) {
				t.Errorf("row %d, number %d: %v, want %v", i, k, got, want)
			}
		}
	}
}

// ahead is a forecast from designs of a problem, the first of which is the best.
func ahead(t *testing.T, p Problem, genes [][]float64) *forecast {
	e := newEpoch(t.Context(), &p, Settings{Seed: 1, Flights: 1000, Population: 40, Algorithm: Default, Islands: 1}, Island{}, 1)
	fly := p.Guarded()
	var members eaopt.Individuals
	for i, x := range genes {
		g := e.spare[i]
		copy(g.genes, x)
		fly(x, &g.result)
		members = append(members, eaopt.Individual{Genome: g})
	}
	return e.foresee(members)
}

// A forecast is made where planes hold and not where they do not: on waves, with
// too few designs, with limits whose inside is not told.
func TestForecast(t *testing.T) {
	wave := false
	p := Problem{
		Variables: slices.Repeat([]Variable{{From: 0, To: 1}}, 3), Goals: 1, Limits: 1, Distances: true,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0], r.Violations[0] = x[0]-2*x[1], x[1]+x[2]-0.9
			if wave {
				r.Goals[0] = math.Cos(40*x[0]) * math.Cos(40*x[1])
			}
		}),
	}
	rng := rand.New(rand.NewPCG(3, 4))
	var genes [][]float64
	for range 40 {
		genes = append(genes, []float64{rng.Float64(), rng.Float64(), rng.Float64()})
	}
	f := ahead(t, p, genes)
	if f == nil || f.trust < 0.999 {
		t.Fatalf("forecast %+v, want one that is trusted", f)
	}
	goal, excess := f.of([]float64{0.2, 0.7, 0.6}, []float64{2})
	if math.Abs(goal+1.2) > 1e-6 || math.Abs(excess-0.2) > 1e-6 {
		t.Errorf("goal %v, excess %v; want -1.2 and 0.4 in units of 2", goal, excess)
	}
	if _, excess = f.of([]float64{0.2, 0.1, 0.1}, []float64{2}); excess != 0 {
		t.Errorf("inside the limit an excess of %v", excess)
	}
	if f := ahead(t, p, genes[:5]); f != nil {
		t.Errorf("a forecast from 5 designs in 3 dimensions: %+v", f)
	}
	wave = true
	if f := ahead(t, p, genes); f != nil {
		t.Errorf("a forecast of waves with trust %v", f.trust)
	}
	wave, p.Distances = false, false
	if f := ahead(t, p, genes); f != nil {
		t.Errorf("a forecast without distances: %+v", f)
	}
}

// Where the evaluation tells how far inside the limits a design is, a search of a
// few hundred flights ends near the best there is, and where it only tells of what
// is missed it still finds it with more.
func TestDistancesHelp(t *testing.T) {
	told := knownOf(problems.G04())
	untold := told
	untold.Distances = false
	inner := told.Evaluator()
	untold.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		for k, v := range r.Violations {
			r.Violations[k] = max(0, v)
		}
	})
	with, without := told.shortfalls(t, Settings{Flights: 500}, 15), untold.shortfalls(t, Settings{Flights: 500}, 15)
	if with[7] > 1e-4 || with[14] > 1e-2 || with[7] > without[7]/100 {
		t.Errorf("500 flights miss %v in the median, %v at worst; without distances %v", with[7], with[14], without[7])
	}
	if missed := untold.shortfalls(t, Settings{Flights: 3000}, 15); missed[7] > 1e-4 {
		t.Errorf("without distances 3000 flights miss %v in the median, want 1e-4", missed[7])
	}
}
