package benchmarks

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ullage/optimize/study"

	"ullage/optimize"
	"ullage/optimize/brief"
)

// A truth is the front of the demo's whole grid, found as
// testdata/truth/README.md says, flown with today's model.
type truth struct {
	problem *optimize.Problem
	designs []optimize.Design
	grid    ruler // from the worst that is feasible
	near    ruler // from a tenth of the front's range beyond its worst: stricter
}

// A ruler measures hypervolumes below a reference as shares of the truth's.
type ruler struct {
	reference []float64
	volume    float64
}

func (r *ruler) share(designs []optimize.Design) float64 {
	return optimize.Hypervolume(goalsOf(designs), r.reference) / r.volume
}

// gridWorst is the worst of each goal among the feasible designs of the grid,
// as minimised: 73.86 m, 40 g, the limit on margin.
var gridWorst = []float64{-73.85, -0.040, -1.2}

const truthFile = "../testdata/truth/field-day-front.csv"

// truthColumns are the demo's variables, and its goals but for the payload,
// which is both.
const truthColumns = "fins_span_m,chamber_throat_m,chamber_fill,payload_mass_kg,recovery_delay_s,apogee_m,margin_cal"

// readTruth returns the designs of the truth's file and their goals as
// minimised: minus apogee, payload and margin.
func readTruth(tb testing.TB, b *brief.Brief) (x, goals [][]float64) {
	tb.Helper()
	file, err := os.Open(truthFile)
	if err != nil {
		tb.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		tb.Fatalf("%s: %v", truthFile, err)
	}
	if got := strings.Join(rows[0], ","); got != truthColumns {
		tb.Fatalf("%s: columns %s, want %s", truthFile, got, truthColumns)
	}
	for i, row := range rows[1:] {
		v := make([]float64, len(row))
		for k, text := range row {
			if v[k], err = strconv.ParseFloat(text, 64); err != nil {
				tb.Fatalf("%s: design %d: %v", truthFile, i+1, err)
			}
		}
		x = append(x, v[:5])
		goals = append(goals, []float64{b.Goals[0].Minimised(v[5]), b.Goals[1].Minimised(v[3]), b.Goals[2].Minimised(v[6])})
	}
	return x, goals
}

// truthOf flies the truth's designs.
func truthOf(tb testing.TB) truth {
	tb.Helper()
	b := demo(tb)
	problem, err := study.Problem(b)
	if err != nil {
		tb.Fatal(err)
	}
	problem.First = nil // a search may not begin with the brief's own design: other methods do not know it
	x, _ := readTruth(tb, b)
	t := truth{problem: problem, designs: flown(problem, x), grid: ruler{reference: gridWorst}}
	for k := range problem.Goals {
		low, high := math.Inf(1), math.Inf(-1)
		for _, d := range t.designs {
			low, high = min(low, d.Goals[k]), max(high, d.Goals[k])
		}
		t.near.reference = append(t.near.reference, high+(high-low)/10)
	}
	for _, r := range []*ruler{&t.grid, &t.near} {
		r.volume = optimize.Hypervolume(goalsOf(t.designs), r.reference)
	}
	return t
}

// flown returns the designs x with their results.
func flown(p *optimize.Problem, x [][]float64) []optimize.Design {
	fly := p.Guarded()
	designs := make([]optimize.Design, len(x))
	for i := range x {
		designs[i] = optimize.Design{X: x[i], Result: optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}}
		fly(x[i], &designs[i].Result)
	}
	return designs
}

func goalsOf(designs []optimize.Design) [][]float64 {
	goals := make([][]float64, len(designs))
	for i := range designs {
		goals[i] = designs[i].Goals
	}
	return goals
}

// best returns the best feasible value of a goal in the grid, minimised.
func (t *truth) best(goal int) float64 {
	best := math.Inf(1)
	for _, d := range t.designs {
		if feasible(d) {
			best = min(best, d.Goals[goal])
		}
	}
	return best
}

// sameGoal is less than designs of the grid differ by that are not equal in a
// goal, m, kg or cal.
const sameGoal = 1e-6

func evolve(tb testing.TB, p *optimize.Problem, s optimize.Settings) []optimize.Design {
	tb.Helper()
	found, err := optimize.Evolve(context.Background(), p, s, 2, nil)
	if err != nil {
		tb.Fatal(err)
	}
	if !found.Met || found.Flights != s.Flights {
		tb.Fatalf("seed %d: met %v with %d flights, want designs within the limits from %d", s.Seed, found.Met, found.Flights, s.Flights)
	}
	return found.Archive
}

// What the truth may be off by with another processor or a change of the
// model that keeps to its tolerance, of a goal or of a limit's bound.
const truthError = 1e-4

// The front of the grid is still what the model says of its designs.
func TestTruthHolds(t *testing.T) {
	b := demo(t)
	_, kept := readTruth(t, b)
	truth := truthOf(t)
	if n := len(truth.designs); n < 100 {
		t.Fatalf("%d designs, want a whole front", n)
	}
	for i, d := range truth.designs {
		for k, want := range kept[i] {
			if math.Abs(d.Goals[k]-want) > truthError*math.Abs(want) {
				t.Errorf("design %d: %s = %v, want %v within %v", i+1, b.Goals[k].Key, -d.Goals[k], -want, truthError)
			}
		}
		for k, v := range d.Violations {
			if d.Failed || b.Limits[k].Scaled(v) > truthError {
				t.Errorf("design %d: misses %s by %v, want 0", i+1, b.Limits[k].Metric.Key, v)
			}
		}
	}
	front := optimize.NewFront(1, len(kept[0]))
	for i, g := range kept {
		front.Offer([]float64{float64(i)}, g, 0)
	}
	if n := len(front.Designs()); n != len(kept) {
		t.Errorf("%d of %d designs are beaten by others or equal to them", len(kept)-n, len(kept))
	}
}

// A short search finds most of the truth, and nothing beyond it.
func TestSearchFindsTruth(t *testing.T) {
	truth := truthOf(t)
	for seed := range uint64(5) {
		got := truth.grid.share(evolve(t, truth.problem, optimize.Settings{Seed: seed + 1, Flights: 5000}))
		if got < 0.95 || got > 1+truthError {
			t.Errorf("seed %d: %.4f of the true front's hypervolume, want 0.95 to 1", seed+1, got)
		}
	}
}

// Where only one goal counts, a search ends at the best design of the grid.
// Apogee has one such design; payload and margin have many.
func TestSearchFindsBest(t *testing.T) {
	truth := truthOf(t)
	for goal, c := range []struct{ flights, found int }{{5000, 4}, {2000, 5}, {2000, 5}} {
		problem, want := alone(t, "field-day.toml", goal), truth.best(goal)
		found := 0
		for seed := range uint64(5) {
			got := evolve(t, problem, optimize.Settings{Seed: seed + 1, Flights: c.flights})[0].Goals[0]
			if math.Abs(got-want) <= sameGoal {
				found++
			} else {
				t.Logf("goal %d, seed %d: %.6f, the grid's best is %.6f", goal+1, seed+1, -got, -want)
			}
		}
		if found < c.found {
			t.Errorf("goal %d: %d of 5 searches of %d flights found the grid's best, want %d", goal+1, found, c.flights, c.found)
		}
	}
}

// BenchmarkTruth holds the demo's search to the truth, over 21 seeds: the median
// share of the hypervolume at two lengths, and 19 of 20 searches for height
// alone. It fails where a share or a count is missed.
func BenchmarkTruth(b *testing.B) {
	t := truthOf(b)
	for _, c := range []struct {
		flights int
		least   float64
	}{{5000, 0.95}, {60_000, 0.995}} {
		b.Run(fmt.Sprint(c.flights), func(b *testing.B) {
			for b.Loop() {
				var all, chosen []float64
				for seed := range uint64(besideSeeds) {
					archive := evolve(b, t.problem, optimize.Settings{Seed: seed + 1, Flights: c.flights})
					all, chosen = append(all, t.grid.share(archive)), append(chosen, t.grid.share(optimize.Choose(archive, 100)))
				}
				slices.Sort(all)
				slices.Sort(chosen)
				if m := all[besideSeeds/2]; m < c.least {
					b.Errorf("%.4f of the hypervolume in the median, want %v", m, c.least)
				}
				b.ReportMetric(100*all[besideSeeds/2], "%archive")
				b.ReportMetric(100*all[0], "%archive-worst")
				b.ReportMetric(100*chosen[besideSeeds/2], "%of-100")
			}
		})
	}
	b.Run("highest", func(b *testing.B) {
		problem, want := alone(b, "field-day.toml", 0), t.best(0)
		for b.Loop() {
			found := 0
			for seed := range uint64(20) {
				if got := evolve(b, problem, optimize.Settings{Seed: seed + 1, Flights: 60_000})[0].Goals[0]; math.Abs(got-want) <= sameGoal {
					found++
				}
			}
			if found < 19 {
				b.Errorf("%d of 20 searches found the grid's highest design, want 19", found)
			}
			b.ReportMetric(float64(found), "found-of-20")
		}
	})
}
