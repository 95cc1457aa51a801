package benchmarks

import (
	"context"
	"runtime"
	"testing"
	"time"

	"ullage/optimize/study"

	"ullage/optimize"
)

// BenchmarkDemo is the job of a user: the demo's search, and how much of the
// hypervolume of a twenty times longer run it finds. It fails below 98 %.
func BenchmarkDemo(b *testing.B) {
	d := demo(b)
	problem, err := study.Problem(d)
	if err != nil {
		b.Fatal(err)
	}
	search := func(flights int) optimize.Outcome {
		s := optimize.Settings{Seed: d.Search.Seed, Islands: d.Search.Islands, Population: d.Search.Population, Flights: flights}
		found, err := optimize.Evolve(context.Background(), problem, s, 2, nil)
		if err != nil {
			b.Fatal(err)
		}
		return found
	}
	long := search(20 * d.Search.Flights)
	var before, after runtime.MemStats
	var found optimize.Outcome
	runtime.ReadMemStats(&before)
	for b.Loop() {
		found = search(d.Search.Flights)
	}
	runtime.ReadMemStats(&after)
	share := volume(found.Archive, long.Archive) / volume(long.Archive, long.Archive)
	if share < 0.98 {
		b.Errorf("%.2f %% of the hypervolume of a run of %d flights, want 98 %%", 100*share, long.Flights)
	}
	b.ReportMetric(100*share, "%hypervolume")
	b.ReportMetric(float64(found.Flights)*float64(b.N)/b.Elapsed().Seconds(), "flights/s")
	b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/float64(b.N)/(1<<20), "MiB/search")
	b.ReportMetric(float64(after.Sys)/(1<<20), "MiB-from-system")
}

// volume is the hypervolume of an archive below the worst of each goal in
// another, with goals scaled by that other's range.
func volume(archive, other []optimize.Design) float64 {
	goals := len(other[0].Goals)
	low, high := make([]float64, goals), make([]float64, goals)
	copy(low, other[0].Goals)
	copy(high, other[0].Goals)
	for _, d := range other {
		for k, v := range d.Goals {
			low[k], high[k] = min(low[k], v), max(high[k], v)
		}
	}
	points := make([][]float64, len(archive))
	reference := make([]float64, goals)
	for k := range reference {
		reference[k] = 1
	}
	for i, d := range archive {
		points[i] = make([]float64, goals)
		for k, v := range d.Goals {
			points[i][k] = (v - low[k]) / (high[k] - low[k])
		}
	}
	return optimize.Hypervolume(points, reference)
}

// BenchmarkOverhead is what the search itself costs a flight: a problem whose
// evaluation costs next to nothing, so that all the time is the search's.
func BenchmarkOverhead(b *testing.B) {
	for _, c := range []struct {
		name  string
		goals int
		optimize.Settings
	}{
		{"default/2 goals", 2, optimize.Settings{Algorithm: optimize.Default}},
		{"default/3 goals", 3, optimize.Settings{Algorithm: optimize.Default}},
		{"reference/2 goals/population 100", 2, optimize.Settings{Algorithm: optimize.Reference, Population: 100}},
		{"reference/2 goals/population 500", 2, optimize.Settings{Algorithm: optimize.Reference, Population: 500}},
		{"reference/2 goals/population 2000", 2, optimize.Settings{Algorithm: optimize.Reference, Population: 2000}},
		{"reference/3 goals/population 100", 3, optimize.Settings{Algorithm: optimize.Reference, Population: 100}},
		{"reference/3 goals/population 500", 3, optimize.Settings{Algorithm: optimize.Reference, Population: 500}},
		{"reference/3 goals/population 2000", 3, optimize.Settings{Algorithm: optimize.Reference, Population: 2000}},
	} {
		b.Run(c.name, func(b *testing.B) {
			const flights = 20_000
			p := sphere(c.goals)
			s := c.Settings
			s.Seed, s.Islands, s.Flights = 1, 1, flights
			b.ReportAllocs()
			for b.Loop() {
				if _, err := optimize.Evolve(context.Background(), p, s, 1, nil); err != nil {
					b.Fatal(err)
				}
			}
			perFlight := b.Elapsed() / time.Duration(b.N*flights)
			b.ReportMetric(float64(perFlight.Nanoseconds())/1000, "µs/flight")
		})
	}
}

// sphere is a problem of 12 variables whose front is a piece of a sphere, with
// one limit.
//
// Source: DTLZ2 of Deb, Thiele, Laumanns & Zitzler (2005) with the angles'
// cosines and sines replaced by rational functions of the same range, so that
// evaluation costs some 20 ns.
func sphere(goals int) *optimize.Problem {
	const n = 12
	p := &optimize.Problem{Goals: goals, Limits: 1, Variables: make([]optimize.Variable, n)}
	for i := range p.Variables {
		p.Variables[i] = optimize.Variable{Name: string(rune('a' + i)), To: 1}
	}
	p.Evaluator = func() func([]float64, *optimize.Result) {
		return func(x []float64, r *optimize.Result) {
			g := 1.0
			for _, v := range x[goals-1:] {
				g += (v - 0.5) * (v - 0.5)
			}
			for k := range r.Goals {
				r.Goals[k] = g
			}
			for k, t := range x[:goals-1] {
				d := 1 / (1 + t*t)
				for j := range goals - 1 - k {
					r.Goals[j] *= (1 - t*t) * d
				}
				r.Goals[goals-1-k] *= 2 * t * d
			}
			r.Violations[0] = max(0, x[0]+x[1]-1.8)
			r.Slack = 1.8 - x[0] - x[1]
		}
	}
	return p
}
