package optimize

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

// stepped is TNK on a grid with a choice, so that designs repeat easily.
func stepped() known {
	k := tnk()
	choices := make([]float64, 40)
	for i := range choices {
		choices[i] = float64(i) * math.Sqrt(float64(i)) / 225
	}
	k.Variables = []Variable{{Name: "a", From: 0, To: 1.2, Step: 0.01}, {Name: "b", Choices: choices}}
	return k
}

func TestSameSeedSameOutcome(t *testing.T) {
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	for _, c := range []struct {
		known
		Settings
	}{
		{osy(), Settings{Flights: 4000, Islands: 3}},
		{dtlz2(3), Settings{Flights: 2000, Islands: 1}},
		{stepped(), Settings{Flights: 2100, Islands: 2}},
		{zdt3(), Settings{Flights: 3050, Islands: 2, Algorithm: Reference}},
	} {
		c.Seed = 12345
		var first Outcome
		for i, workers := range []int{1, 2, 8} {
			runtime.GOMAXPROCS(workers)
			var reported []Record
			o, err := Evolve(t.Context(), &c.Problem, c.Settings, workers, func(r Record) { reported = append(reported, r) })
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(reported, o.Records) {
				t.Errorf("%s: reported records are not those of the outcome", c.name)
			}
			for j := 1; j < len(reported); j++ {
				a, b := reported[j-1], reported[j]
				if a.Barrier > b.Barrier || a.Barrier == b.Barrier && a.Island >= b.Island {
					t.Fatalf("%s: barrier %d island %d reported after %d, %d", c.name, b.Barrier, b.Island, a.Barrier, a.Island)
				}
			}
			if i == 0 {
				first = o
			} else if !reflect.DeepEqual(first, o) {
				t.Errorf("%s: %d workers give another outcome than 1", c.name, workers)
			}
		}
		c.Seed++
		o, err := Evolve(t.Context(), &c.Problem, c.Settings, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if reflect.DeepEqual(first, o) {
			t.Errorf("%s: another seed gives the same outcome", c.name)
		}
	}
}

func TestEpochIsPure(t *testing.T) {
	p := osy().Problem
	s := Settings{Seed: 9, Flights: 5000, Islands: 1}
	isl, err := Epoch(t.Context(), &p, s, Island{}, 10, 1)
	if err != nil {
		t.Fatal(err)
	}
	was := isl.clone(0)
	a, _ := Epoch(t.Context(), &p, s, isl, 10, 1)
	b, _ := Epoch(t.Context(), &p, s, isl, 10, 3)
	if !reflect.DeepEqual(isl, was) {
		t.Error("Epoch changed the island that it was given")
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("Epoch of the same island gave two answers")
	}
	if a.Generation != 20 || a.Flights != 21*40 {
		t.Errorf("generation %d, %d flights, want 20, %d", a.Generation, a.Flights, 21*40)
	}
}

// Every evaluation is counted and no design is evaluated twice on an island.
func TestFlightsAreCountedAndDiffer(t *testing.T) {
	for _, flights := range []int{3, 40, 41, 997} {
		k := stepped()
		inner := k.Problem.Evaluator()
		var mu sync.Mutex
		flown := map[[2]float64]int{}
		k.Problem.Evaluator = always(func(x []float64, r *Result) {
			inner(x, r)
			mu.Lock()
			defer mu.Unlock()
			flown[[2]float64(x)]++
		})
		o, err := Evolve(t.Context(), &k.Problem, Settings{Seed: 1, Flights: flights}, 4, nil)
		if err != nil {
			t.Fatal(err)
		}
		if o.Flights != flights || len(flown) != flights {
			t.Errorf("%d flights counted, %d designs flown, want %d of both", o.Flights, len(flown), flights)
		}
		for x := range flown {
			if step := math.Round(x[0] / 0.01); math.Abs(x[0]-step*0.01) > 1e-12 || !slices.Contains(k.Variables[1].Choices, x[1]) {
				t.Fatalf("design %v is off the grid", x)
			}
		}
	}
}

func TestExhaustedGrid(t *testing.T) {
	p := Problem{
		Variables: []Variable{{From: 0, To: 9, Step: 1}, {Choices: []float64{2, 3, 5, 7}}, {From: 4, To: 4}},
		Goals:     2,
		Evaluator: always(func(x []float64, r *Result) {
			if x[2] != 4 {
				panic("a variable with one value has another")
			}
			r.Goals[0], r.Goals[1] = x[0]+x[1], x[1]-x[0]
		}),
	}
	for _, islands := range []int{1, 3} {
		o, err := Evolve(t.Context(), &p, Settings{Flights: 5000, Islands: islands, Population: 8}, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if o.Failed > 0 {
			t.Errorf("%d islands: %d of %d flights failed, want none", islands, o.Failed, o.Flights)
		}
		if o.Stop != "exhausted" || o.Flights > 40*islands || o.Flights < 40 {
			t.Errorf("%d islands: stop %q after %d flights, want exhausted after 40 on each", islands, o.Stop, o.Flights)
		}
		// x₁ = 2 is best for both goals, x₀ trades one for the other.
		if len(o.Archive) != 10 {
			t.Errorf("%d islands: %d designs, want 10", islands, len(o.Archive))
		}
	}
}

func TestFailedFlights(t *testing.T) {
	inner := zdt1().Problem.Evaluator
	for _, c := range []struct {
		why  string
		fail func(r *Result)
	}{
		{"panic", func(*Result) { panic("the model is broken") }},
		{"typed", func(r *Result) { r.Failed = true }},
		{"NaN goal", func(r *Result) { r.Goals[1] = math.NaN() }},
		{"infinite goal", func(r *Result) { r.Goals[0] = math.Inf(-1) }},
		{"NaN slack", func(r *Result) { r.Slack = math.NaN() }},
		{"NaN violation", func(r *Result) { r.Violations[0] = math.NaN() }},
		{"negative violation", func(r *Result) { r.Violations[0] = -1 }},
		{"goals of another length", func(r *Result) { r.Goals = r.Goals[:1] }},
	} {
		t.Run(c.why, func(t *testing.T) {
			p := zdt1().Problem
			p.Limits, p.Distances = 1, false
			var failed atomic.Int64
			p.Evaluator = func() func([]float64, *Result) {
				f := inner()
				return func(x []float64, r *Result) {
					f(x, r)
					if x[0] < 0.5 {
						failed.Add(1)
						c.fail(r)
					}
				}
			}
			o, err := Evolve(t.Context(), &p, Settings{Seed: 3, Flights: 600}, 2, nil)
			if err != nil {
				t.Fatal(err)
			}
			if o.Failed != int(failed.Load()) || o.Failed == 0 || o.Failed+o.Feasible != 600 {
				t.Errorf("%d failed, %d feasible of 600, want %d failed", o.Failed, o.Feasible, failed.Load())
			}
			for _, d := range o.Archive {
				if d.X[0] < 0.5 || d.Failed {
					t.Fatalf("a failed design is in the archive: %+v", d)
				}
			}
		})
	}
}

func TestNoFeasibleDesign(t *testing.T) {
	p := zdt1().Problem
	p.Limits = 2
	inner := p.Evaluator()
	p.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		r.Violations[0], r.Violations[1] = 1+x[0], 1000*(1+x[1])
	})
	o, err := Evolve(t.Context(), &p, Settings{Seed: 1, Flights: 4000, Islands: 2, Population: 40}, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	if o.Met || o.Feasible != 0 || o.Reference != nil || o.Hypervolume != 0 {
		t.Errorf("met %v, %d feasible, reference %v, hypervolume %v, want none", o.Met, o.Feasible, o.Reference, o.Hypervolume)
	}
	if len(o.Archive) != 40 || !strings.Contains(o.Advice, "no design meets the limits") {
		t.Errorf("%d designs, advice %q", len(o.Archive), o.Advice)
	}
	// Both limits weigh alike after scaling, so both are nearly minimal.
	if d := o.Archive[0]; d.Violations[0] > 1.02 || d.Violations[1] > 1020 {
		t.Errorf("least violating design has violations %v, want nearly 1 and 1000", d.Violations)
	}
}

func TestInterruption(t *testing.T) {
	for _, workers := range []int{1, 3} {
		ctx, stop := context.WithCancel(t.Context())
		p := zdt1().Problem
		inner := p.Evaluator()
		var flown atomic.Int64
		p.Evaluator = always(func(x []float64, r *Result) {
			if flown.Add(1) == 777 {
				stop()
			}
			inner(x, r)
		})
		o, err := Evolve(ctx, &p, Settings{Flights: 1 << 30, Islands: 1}, workers, nil)
		if err != nil || o.Stop != "interrupted" {
			t.Fatalf("Evolve after an interrupt: stop %q, error %v", o.Stop, err)
		}
		if o.Flights != int(flown.Load()) || o.Flights > 777+workers {
			t.Errorf("%d flights counted of %d, want at most %d", o.Flights, flown.Load(), 777+workers)
		}
		if len(o.Archive) == 0 || !o.Met {
			t.Error("nothing is left of what was found")
		}
	}
	// Of up to three goals the hypervolume is told all the same; of more it may take
	// seconds, which nobody waits for who has interrupted.
	for _, k := range []known{zdt1(), dtlz2(3), dtlz2(4)} {
		ctx, stop := context.WithCancel(t.Context())
		p := k.Problem
		s := Settings{Flights: 5000, Population: 20}
		o, err := Continue(ctx, &p, s, State{}, func(ctx context.Context, isl Island) (Island, error) {
			isl, err := Local(&p, s, 1)(ctx, isl)
			stop()
			return isl, err
		}, func(State) error { return nil })
		if err != nil || o.Stop != "interrupted" || len(o.Archive) == 0 || o.Reference == nil || (o.Hypervolume > 0) != (p.Goals <= 3) {
			t.Errorf("%d goals, interrupted: stop %q, %v, %d designs, hypervolume %v", p.Goals, o.Stop, err, len(o.Archive), o.Hypervolume)
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	p := zdt1().Problem
	if o, err := Evolve(ctx, &p, Settings{Flights: 1000}, 1, nil); err != nil || o.Flights != 0 || o.Met || len(o.Archive) != 0 {
		t.Errorf("Evolve that never began: %+v, %v", o, err)
	}
}

func TestRunnerError(t *testing.T) {
	broken := errors.New("worker w3: gone")
	run := func(context.Context, Island) (Island, error) { return Island{}, broken }
	p := zdt1().Problem
	_, err := Continue(t.Context(), &p, Settings{Flights: 100}, State{}, run, func(State) error { return nil })
	if !errors.Is(err, broken) || err.Error() != "epoch 1: worker w3: gone" {
		t.Errorf("error %q, want the runner's", err)
	}
}

// The two designs of a pair have the same goals; the archive must hold the one
// with more slack.
func TestSlackOrdersEqualGoals(t *testing.T) {
	p := Problem{
		Variables: []Variable{{From: 0, To: 1}, {From: 0, To: 9, Step: 1}}, Goals: 2,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0], r.Goals[1] = x[0], 1-x[0]
			r.Slack = -math.Abs(x[1] - 4)
		}),
	}
	o, err := Evolve(t.Context(), &p, Settings{Seed: 1, Flights: 4000}, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	best := 0
	for _, d := range o.Archive {
		if d.X[0] == 0 || d.X[0] == 1 { // designs that are met again and again
			best++
			if d.X[1] != 4 {
				t.Errorf("design %v, want 4 as its second value", d.X)
			}
		}
	}
	if best != 2 {
		t.Errorf("%d ends of the front, want 2", best)
	}
}

func TestOneGoal(t *testing.T) {
	p := Problem{
		Variables: slices.Repeat([]Variable{{From: -2, To: 3}}, 4), Goals: 1,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0] = 0
			for _, v := range x {
				r.Goals[0] += (v - 1) * (v - 1)
			}
		}),
	}
	o, err := Evolve(t.Context(), &p, Settings{Seed: 2, Flights: 4000}, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Archive) != 1 || o.Archive[0].Goals[0] > 1e-4 {
		t.Errorf("best designs %+v, want one near 1, 1, 1, 1", o.Archive)
	}
	if got := Choose(o.Archive, 10); len(got) != 1 {
		t.Errorf("Choose = %d designs, want 1", len(got))
	}
}

func TestGivenDesignsAreFlownFirst(t *testing.T) {
	p := zdt1().Problem
	for i := range 6 {
		p.First = append(p.First, slices.Repeat([]float64{float64(i) / 10}, 30))
	}
	p.First[5][0] = 7 // beyond the range: the nearest design that is within
	inner := p.Evaluator()
	var flown [][]float64
	p.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		flown = append(flown, slices.Clone(x))
	})
	if _, err := Evolve(t.Context(), &p, Settings{Flights: 40}, 1, nil); err != nil {
		t.Fatal(err)
	}
	p.First[5][0] = 1
	if !reflect.DeepEqual(flown[:6], p.First) {
		t.Errorf("first flights %v, want %v", flown[:6], p.First)
	}
}

// A long front leaves half of each first population to chance, and gives both
// of its ends and its middle.
func TestManyGivenDesigns(t *testing.T) {
	p := zdt1().Problem
	const many = 100
	for i := range many {
		p.First = append(p.First, slices.Repeat([]float64{float64(i) / many}, 30))
	}
	inner := p.Evaluator()
	var flown []int
	p.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		if x[0] == x[1] && x[0] == x[29] {
			flown = append(flown, int(math.Round(x[0]*many)))
		}
	})
	if _, err := Evolve(t.Context(), &p, Settings{Flights: 80, Islands: 2, Population: 40}, 1, nil); err != nil {
		t.Fatal(err)
	}
	slices.Sort(flown)
	if len(flown) != 40 || flown[0] != 0 || flown[39] < many-6 {
		t.Fatalf("designs %v of %d given, want 40 from the first to one of the last 6", flown, many)
	}
	for i := 1; i < len(flown); i++ {
		if gap := flown[i] - flown[i-1]; gap > 5 {
			t.Errorf("%d designs in a row are left out", gap-1)
		}
	}
}

func TestFaultsOfProblemAndSettings(t *testing.T) {
	good := zdt1().Problem
	bad := Problem{
		Variables: []Variable{{Name: "throat", From: 2, To: 1}, {Name: "fill", From: 0, To: 1, Step: -1}},
		First:     [][]float64{{1}}, Goals: 6, Limits: -1,
	}
	for _, c := range []struct {
		p    *Problem
		s    Settings
		want string
	}{
		{&bad, Settings{Flights: 1}, `variable "throat": 2 to 1, want a finite range
variable "fill": step -1, want ≥ 0
first design 0: 1 values, want 2
goals: 6, want 1 to 5
limits: -1, want ≥ 0
evaluator: none, want one`},
		{&Problem{Goals: 0, Keep: -2, Evaluator: good.Evaluator}, Settings{Flights: 1}, `variables: none, want at least one
goals: 0, want 1 to 5
keep: -2 designs, want ≥ 0`},
		{&Problem{
			Variables: []Variable{{Name: "a", To: math.NaN()}, {Name: "b", To: math.Inf(1)}, {Name: "c", To: 1, Step: math.NaN()}, {Name: "d", Choices: []float64{2}, To: -1, Step: -1}},
			First:     [][]float64{{0, 0, 0, 2}, {0, math.NaN(), 0, 2}}, Goals: 5, Evaluator: good.Evaluator,
		}, Settings{Flights: 1}, `variable "a": 0 to NaN, want a finite range
variable "b": 0 to +Inf, want a finite range
first design 1: b is not a number
variable "c": step NaN, want ≥ 0`},
		{&good, Settings{}, "flights: 0, want > 0"},
		{&good, Settings{Flights: 100, Population: 3}, "population: 3, want ≥ 4"},
		{&good, Settings{Flights: 5, Islands: 6}, "islands: 6, want 1 to the number of flights, 5"},
		{&good, Settings{Flights: 5, Algorithm: 7}, "algorithm 7: want default or reference"},
	} {
		if _, err := Evolve(t.Context(), c.p, c.s, 1, nil); err == nil || err.Error() != c.want {
			t.Errorf("Evolve: error %v, want %s", err, c.want)
		}
	}
	var a Algorithm
	if err := a.UnmarshalText([]byte("best")); err == nil || err.Error() != `algorithm "best": want default or reference` {
		t.Errorf("UnmarshalText: %v", err)
	}
	if err := a.UnmarshalText([]byte("reference")); err != nil || a != Reference {
		t.Errorf("UnmarshalText: %v, %v", a, err)
	}
	if name, err := a.MarshalText(); err != nil || string(name) != "reference" {
		t.Errorf("MarshalText: %q, %v, want reference", name, err)
	}
}

func TestDefaultIslands(t *testing.T) {
	for _, c := range []struct{ flights, want int }{{100, 1}, {19999, 1}, {20000, 2}, {60000, 6}, {1000000, 8}} {
		if got := (Settings{Flights: c.flights}).filled(&Problem{}).Islands; got != c.want {
			t.Errorf("%d flights: %d islands, want %d", c.flights, got, c.want)
		}
	}
}

// What an island may evaluate decides, after the brief.
func TestDefaultPopulation(t *testing.T) {
	for _, c := range []struct {
		why    string
		s      Settings
		limits int
		cost   int
		want   int
	}{
		{"few", Settings{Flights: 1000}, 2, 0, 12},
		{"some", Settings{Flights: 1001}, 0, 0, 24},
		{"some", Settings{Flights: 3000}, 2, 0, 24},
		{"many, with limits", Settings{Flights: 3001}, 2, 0, 40},
		{"many", Settings{Flights: 100_000}, 0, 0, 24},
		{"many, but not on an island", Settings{Flights: 6000, Islands: 3}, 2, 0, 24},
		{"many, but not of evaluations", Settings{Flights: 8000}, 2, 8, 12},
		{"as the brief says", Settings{Flights: 500, Population: 17}, 2, 0, 17},
		{"the reference", Settings{Flights: 500, Algorithm: Reference}, 2, 0, 100},
	} {
		if got := c.s.filled(&Problem{Limits: c.limits, Cost: c.cost}).Population; got != c.want {
			t.Errorf("%s: %+v with %d limits at %d flights an evaluation: population %d, want %d", c.why, c.s, c.limits, c.cost, got, c.want)
		}
	}
}

func TestStallAdvice(t *testing.T) {
	for _, c := range []struct {
		why   string
		gains []gain
		want  string
	}{
		{"still gaining", []gain{{10000, 1}, {12000, 1.1}, {15000, 1.2}}, ""},
		{"too early to say", []gain{{10000, 1}, {13999, 1}}, ""},
		{"too early to call it one", []gain{{9999, 1}, {14000, 1}}, ""},
		{"late enough for both", []gain{{10000, 1}, {14000, 1}}, "the front gained less than 0.03 % of its hypervolume after 10000 of 14000 flights: fewer would do"},
		{"a gain of a little more", []gain{{10000, 1}, {14000, 1.00031}}, ""},
		{"a gain of a little less", []gain{{10000, 1}, {14000, 1.00029}}, "the front gained less than 0.03 % of its hypervolume after 10000 of 14000 flights: fewer would do"},
		{
			"stalled",
			[]gain{{5000, 0.8}, {10000, 1}, {12000, 1.1}, {14000, 1.1001}, {16000, 1.1002}},
			"the front gained less than 0.03 % of its hypervolume after 12000 of 16000 flights: fewer would do",
		},
	} {
		if got := stalled(c.gains); got != c.want {
			t.Errorf("%s: advice %q, want %q", c.why, got, c.want)
		}
	}
}
