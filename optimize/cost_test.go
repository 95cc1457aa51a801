package optimize

import (
	"context"
	"strings"
	"sync/atomic"
	"testing"
)

// costly is a problem whose every evaluation takes so many flights; asked
// counts the evaluations.
func costly(cost int, asked *atomic.Int64) *Problem {
	return &Problem{
		Variables: []Variable{{Name: "a", From: 0, To: 1}, {Name: "b", From: 0, To: 1}},
		Goals:     2, Cost: cost,
		Evaluator: func() func(x []float64, r *Result) {
			return func(x []float64, r *Result) {
				asked.Add(1)
				r.Goals[0], r.Goals[1] = x[0]+x[1]/10, 1-x[0]+x[1]
				r.Failed = x[1] > 0.9
			}
		},
	}
}

// TestCost counts every flight of an evaluation, in the sums and in the
// records, and never exceeds the flights allowed.
func TestCost(t *testing.T) {
	for _, row := range []struct{ cost, flights, islands int }{{0, 1000, 1}, {4, 1000, 1}, {4, 1003, 3}, {7, 999, 2}} {
		var asked atomic.Int64
		last := map[int]Record{}
		p := costly(row.cost, &asked)
		o, err := Evolve(context.Background(), p, Settings{Seed: 1, Flights: row.flights, Islands: row.islands}, 2,
			func(r Record) { last[r.Island] = r })
		if err != nil {
			t.Fatal(err)
		}
		each := max(row.cost, 1)
		if want := each * int(asked.Load()); o.Flights != want {
			t.Errorf("%+v: %d flights, want %d", row, o.Flights, want)
		}
		if short := row.flights - o.Flights; short < 0 || short >= each*row.islands {
			t.Errorf("%+v: %d flights, want less than one evaluation an island below what is allowed", row, o.Flights)
		}
		if o.Feasible%each != 0 || o.Failed%each != 0 || o.Feasible+o.Failed != o.Flights {
			t.Errorf("%+v: %d feasible and %d failed of %d flights, want them to be all", row, o.Feasible, o.Failed, o.Flights)
		}
		sum := 0
		for _, r := range last {
			sum += r.Flights
		}
		if sum != o.Flights {
			t.Errorf("%+v: the last records hold %d flights, the outcome %d", row, sum, o.Flights)
		}
	}
}

func TestCostRefused(t *testing.T) {
	// Just enough flights for one evaluation on each island are searched with; an
	// evaluation of one flight is held against the number of islands alone.
	var asked atomic.Int64
	if o, err := Evolve(context.Background(), costly(30, &asked), Settings{Flights: 60, Islands: 2}, 1, nil); err != nil || o.Flights != 60 {
		t.Errorf("60 flights for two evaluations of 30: %d, %v", o.Flights, err)
	}
	if o, err := Evolve(context.Background(), costly(1, &asked), Settings{Flights: 6, Islands: 6}, 1, nil); err != nil || o.Flights != 6 {
		t.Errorf("6 flights on 6 islands: %d, %v", o.Flights, err)
	}
	if _, err := Evolve(context.Background(), costly(1, &asked), Settings{Flights: 5, Islands: 6}, 1, nil); err == nil || err.Error() != "islands: 6, want 1 to the number of flights, 5" {
		t.Errorf("5 flights on 6 islands: %v", err)
	}
	for _, row := range []struct {
		cost int
		want string
	}{
		{-1, "cost: -1 flights, want ≥ 0"},
		{30, "flights: 59, want ≥ 60: 30 for one evaluation on each island"},
	} {
		var asked atomic.Int64
		_, err := Evolve(context.Background(), costly(row.cost, &asked), Settings{Flights: 59, Islands: 2}, 1, nil)
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("cost %d: %v, want %q", row.cost, err, row.want)
		}
	}
}
