package optimize

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/testdata/problems"
)

// A search for one goal comes near the best there is. Shortfalls of 3000 flights
// are in % of what the reference lies above it; the bars are a fifth above what
// 41 seeds gave, and by the way of a front the medians were 1.4 for Rosenbrock,
// 1.0 for g04, 5.5 for g06, 7.5 for the beam, 0.8 for the spring and 3.0 for the
// vessel, but 0.03 for Rastrigin, whose variables do not depend on each other.
func TestSingleGoal(t *testing.T) {
	for _, c := range []struct {
		problems.Problem
		median, worst float64
	}{
		{problems.Rastrigin(), 4.2, 8},
		{problems.SteppedRastrigin(), 3.6, 8.4},
		{problems.Rosenbrock(), 0.25, 4.9},
		{problems.G04(), 0.00004, 0.0001},
		{problems.G06(), 0.0008, 0.0045},
		{problems.WeldedBeam(), 0.00002, 0.6},
		{problems.Spring(), 0.075, 1.3},
		{problems.Vessel(), 0.00001, 0.3},
	} {
		t.Run(c.Name, func(t *testing.T) {
			t.Parallel()
			seeds := 41
			if testing.Short() {
				seeds = 15
			}
			missed := knownOf(c.Problem).shortfalls(t, Settings{Flights: 3000}, seeds)
			if m := 100 * missed[seeds/2]; m > c.median {
				t.Errorf("median %.4f %%, want at most %v", m, c.median)
			}
			if m := 100 * missed[seeds-1]; m > c.worst || missed[0] < -1e-8 {
				t.Errorf("worst %.3f %%, best %g, want 0 to %v", m, missed[0], c.worst)
			}
		})
	}
}

// A search by steps that has a third of its flights left when it stands at the
// best design but for one step, or two of them, finds it.
func TestNeighboursAreTried(t *testing.T) {
	const best = 500
	for _, away := range [][]float64{{1, 0, 0}, {0, -4, 0}, {0, 2, 0}, {1, 0, -1}, {0, 2, 2}} {
		p := Problem{
			Variables: slices.Repeat([]Variable{{From: 0, To: 1000, Step: 1}}, 3), Goals: 1,
			// Every design but two is as bad as any other.
			Evaluator: always(func(x []float64, r *Result) {
				r.Goals[0] = 2
				if slices.Equal(x, []float64{best, best, best}) {
					r.Goals[0] = 0
				} else if slices.Equal(x, []float64{best + away[0], best + away[1], best + away[2]}) {
					r.Goals[0] = 1
				}
			}),
		}
		p.First = [][]float64{{best + away[0], best + away[1], best + away[2]}}
		o, err := Evolve(t.Context(), &p, Settings{Seed: 1, Flights: 300}, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if o.Flights != 300 {
			t.Errorf("%d flights, want the 300 allowed", o.Flights)
		}
		if got := o.Archive[0].Goals[0]; got != 0 {
			t.Errorf("from %v steps away: %v, want the best, 0", away, got)
		}
	}
}

// A population that stands together in a valley is drawn anew, and the deeper
// valley is found; the design of the first is not lost meanwhile.
func TestDrawnAnew(t *testing.T) {
	p := Problem{
		Variables: slices.Repeat([]Variable{{From: -1, To: 1}}, 2), Goals: 1,
		Evaluator: always(func(x []float64, r *Result) {
			wide := 1 + (x[0]+0.5)*(x[0]+0.5) + (x[1]+0.5)*(x[1]+0.5)
			narrow := 100 * ((x[0]-0.8)*(x[0]-0.8) + (x[1]-0.8)*(x[1]-0.8))
			r.Goals[0] = min(wide, narrow)
		}),
	}
	found := 0
	for seed := range uint64(20) {
		o, err := Evolve(t.Context(), &p, Settings{Seed: seed, Flights: 10000}, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if o.Archive[0].Goals[0] < 1e-6 {
			found++
		}
		least := 2.0
		for _, r := range o.Records {
			if r.Best != nil && r.Best[0] > least {
				t.Errorf("seed %d: the best rises from %v to %v", seed, least, r.Best[0])
			}
			least = r.Best[0]
		}
	}
	if found < 18 {
		t.Errorf("the narrow valley, which is a fiftieth of the space, is found by %d of 20 searches, want nearly all", found)
	}
}

// One goal is searched alike from any barrier on, by any number of workers.
func TestSingleGoalGoesOn(t *testing.T) {
	k := knownOf(problems.Vessel())
	s := Settings{Seed: 3, Flights: 4000, Islands: 2}
	var states []State
	want, err := Continue(t.Context(), &k.Problem, s, State{}, Local(&k.Problem, s, 1), func(st State) error {
		states = append(states, st)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, from := range states {
		got, err := Continue(t.Context(), &k.Problem, s, from, through(Local(&k.Problem, s, 5)), func(State) error { return nil })
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("from barrier %d of %d the search ends otherwise (%v)", i+1, len(states), err)
		}
	}
}

// A ridge is highest where a limit begins; its last variable changes the slack
// alone, as a timer does that fires past the top.
func ridge(step float64) *Problem {
	return &Problem{
		Variables: slices.Repeat([]Variable{{From: 0, To: 1, Step: step}}, 4), Goals: 1, Limits: 1,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0] = (x[0]-0.7)*(x[0]-0.7) + (x[1]-0.4)*(x[1]-0.4) - x[2]
			over := x[0] + x[2] - 1.2
			r.Violations[0] = max(0, over)
			r.Slack = min(-over, 0) - math.Abs(x[3]-0.3)
		}),
	}
}

// Of designs that are equal in the one goal the search takes the one that is
// furthest off its limits, for steps to the step.
func TestOneGoalTakesTheSaferOfEquals(t *testing.T) {
	for seed := range uint64(10) {
		o, err := Evolve(t.Context(), ridge(0.05), Settings{Seed: seed, Flights: 2000}, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if x := o.Archive[0].X; len(o.Archive) != 1 || math.Abs(x[3]-0.3) > 1e-9 {
			t.Errorf("seed %d: %d designs, the first %v, want one with the largest slack, at 0.3", seed, len(o.Archive), x)
		}
	}
}

// Members that miss a limit by little compete at first, and never at the end; the
// best feasible design is not lost to them.
func TestLeeway(t *testing.T) {
	e := &epoch{budget: 1000}
	last := math.Inf(1)
	for flights := 50; flights <= 1000; flights += 50 {
		e.island.Flights, e.island.Feasible = flights, flights/2
		got := e.leewayNow()
		if got > last || got > 1 || flights >= 600 && got != 0 || flights < 600 && got <= 0 {
			t.Errorf("after %d of 1000 flights: %v, want less than %v, and none from 600 on", flights, got, last)
		}
		last = got
	}
	if e.island.Flights, e.island.Feasible = 50, 0; e.leewayNow() != 0 {
		t.Errorf("%v where nothing is feasible, want none", e.leewayNow())
	}
	best := math.Inf(1)
	p := ridge(0)
	inner := p.Evaluator()
	p.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		if r.Violations[0] == 0 {
			best = min(best, r.Goals[0])
		}
	})
	for _, flights := range []int{200, 2000} {
		best = math.Inf(1)
		o, err := Evolve(t.Context(), p, Settings{Seed: 2, Flights: flights}, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := o.Archive[0]; got.Goals[0] > best+1e-8 || got.Violations[0] > 0 {
			t.Errorf("%d flights: %+v, want the best feasible one that was flown, %v", flights, got, best)
		}
	}
}
