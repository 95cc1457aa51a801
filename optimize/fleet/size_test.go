package fleet

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"ullage/optimize"
	"ullage/optimize/sweep"
)

// room checks that an answer fits into what its job allows, which is not many
// times as much: the rest is what a worker may fill memory with.
func room(t *testing.T, what string, most, got int64, times int64) {
	t.Helper()
	if got > most || most > times*got+1<<18 {
		t.Errorf("%s: %d bytes, allowed are %d, want room for it but not %d times as much", what, got, most, times)
	}
}

// TestIslandsFit flies islands to their ends.
func TestIslandsFit(t *testing.T) {
	_, p, j := demo(t)
	s := optimize.Settings{Seed: 3, Islands: 1, Population: 40, Flights: 12_000, Algorithm: optimize.Default}
	var f flier
	home := optimize.Local(p, s, 2)
	flown := func(ctx context.Context, isl optimize.Island) (optimize.Island, error) {
		j.Leg = &Leg{Settings: s, Index: isl.Index}
		j.Leg.Island, _ = isl.MarshalBinary()
		size, err := f.size(&j)
		if err != nil {
			return isl, err
		}
		got, err := home(ctx, isl)
		wire, _ := got.MarshalBinary()
		room(t, "island", size.bytes, int64(len(wire)), 8)
		if n := int64(got.Flights - isl.Flights); n > size.flights || size.flights > 2*n+1100 {
			t.Errorf("%d flights, allowed are %d", n, size.flights)
		}
		return got, err
	}
	if _, err := optimize.Continue(t.Context(), p, s, optimize.State{}, flown, func(optimize.State) error { return nil }); err != nil {
		t.Fatal(err)
	}
}

// TestWorstIslandFits counts the bytes of an epoch all of whose flights enter
// the archive, each into a block of its own.
func TestWorstIslandFits(t *testing.T) {
	_, p, j := demo(t)
	n, m, l := len(p.Variables), p.Goals, p.Limits
	const flown, population = 26 * 40, 44
	rows := func(k, limits int) optimize.Rows {
		return optimize.Rows{
			Genes: make([]float64, k*n), Goals: make([]float64, k*m), Violations: make([]float64, k*limits),
			Slack: make([]float64, k), Failed: make([]bool, k),
		}
	}
	isl := optimize.Island{
		Population: rows(population, l), Archive: rows(flown, 0), Blocks: slices.Repeat([]int32{1}, flown),
		Credits: make([]float64, 3), Scales: make([]float64, l), Worst: make([]float64, m),
	}
	for i := range flown {
		isl.Flown = append(isl.Flown, uint64(i+1))
	}
	isl.Held = flown
	wire, err := isl.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	j.Leg = &Leg{Settings: settings}
	size, err := new(flier).size(&j)
	if err != nil {
		t.Fatal(err)
	}
	room(t, "worst island", size.bytes, int64(len(wire)), 2)
	if size.flights != flown {
		t.Errorf("%d flights, want %d", size.flights, flown)
	}
	j.Leg.Settings.Population = 0
	if size, _ = new(flier).size(&j); size.flights != 26*100 {
		t.Errorf("%d flights where the search chooses the population, want 2600", size.flights)
	}
}

// TestWorstTallyFits counts the bytes of a tally with every design in its front,
// of numbers with all digits.
func TestWorstTallyFits(t *testing.T) {
	_, p, j := demo(t)
	const n = 1000
	long := func() float64 { return -math.MaxFloat64 * (0.5 + rand.Float64()/3) }
	member := func(i int) sweep.Member {
		m := sweep.Member{Number: math.MaxInt64 - int64(i), Slack: long()}
		for range p.Goals {
			m.Goals = append(m.Goals, long())
		}
		return m
	}
	tally := sweep.Tally{Next: math.MaxInt64, Feasible: math.MaxInt64, Failed: math.MaxInt64, Missed: slices.Repeat([]int64{math.MaxInt64}, p.Limits), Worst: member(0).Goals}
	for i := range n {
		tally.Front = append(tally.Front, member(i))
	}
	for i := range 20 {
		tally.Nearest = append(tally.Nearest, member(i))
	}
	data, err := json.Marshal(tally)
	if err != nil {
		t.Fatal(err)
	}
	j.Stretch = &Stretch{Mode: sweep.FrontMode, To: n}
	size, err := new(flier).size(&j)
	if err != nil {
		t.Fatal(err)
	}
	room(t, "worst tally", size.bytes, int64(len(data)), 2)
	if size.flights != n {
		t.Errorf("%d flights, want %d", size.flights, n)
	}
}

// TestRowsFit holds that rows may be as long as they are, and no longer.
func TestRowsFit(t *testing.T) {
	_, _, j := demo(t)
	j.Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 100, From: 10, To: 40, Numbers: []string{"apogee", "margin"}}
	var f flier
	body, err := f.fly(t.Context(), &j)
	if err != nil {
		t.Fatal(err)
	}
	if size, err := f.size(&j); err != nil || size.bytes != int64(len(body)) || size.flights != 30 {
		t.Errorf("size = %+v, %v, want %d bytes of 30 flights", size, err, len(body))
	}
}

// TestStretchesOutside asks for designs that a sweep has not.
func TestStretchesOutside(t *testing.T) {
	_, p, j := demo(t)
	grid, err := sweep.Grid(p.Variables)
	if err != nil {
		t.Fatal(err)
	}
	var f flier
	for _, s := range []Stretch{
		{Mode: sweep.DrawsMode, Size: 10, From: -1, To: 5},
		{Mode: sweep.DrawsMode, Size: 10, From: 5, To: 5},
		{Mode: sweep.DrawsMode, Size: 10, From: 5, To: 11},
		{Mode: sweep.IndicesMode, Size: 1, From: 0, To: 100},
		{Mode: sweep.FrontMode, From: grid.Size, To: grid.Size + 1},
		{Mode: "guess", Size: 10, From: 0, To: 5},
	} {
		j.Stretch = &s
		if body, err := f.fly(t.Context(), &j); err == nil || body != nil || !strings.Contains(err.Error(), "want some of") && s.Mode != "guess" {
			t.Errorf("%+v: %d bytes, %v, want a flaw", s, len(body), err)
		}
	}
	j.Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 10, From: 9, To: 10}
	if _, err := f.fly(t.Context(), &j); err != nil {
		t.Errorf("the last design: %v", err)
	}
}

// TestBriefOfTheLastJob flies, one after the other, jobs that differ in one thing
// each: none is flown with what another said.
func TestBriefOfTheLastJob(t *testing.T) {
	_, _, j := demo(t)
	j.Stretch = &Stretch{Mode: sweep.DrawsMode, Size: 10, To: 10, Numbers: []string{"apogee"}}
	other := j
	other.Seed++
	set := j
	set.Set = []string{"site.wind=5 m/s"}
	leg := Job{Name: j.Name, Source: j.Source, Seed: j.Seed, Leg: &Leg{Settings: optimize.Settings{Seed: 1, Islands: 1, Population: 4, Flights: 40, Algorithm: optimize.Default}}}
	leg.Leg.Island, _ = (&optimize.Island{}).MarshalBinary()
	first := leg
	first.First = [][]float64{{0.1, 0.01, 0.3, 0.1, 5}}
	var shared flier
	for i, job := range []Job{j, other, set, leg, first, j, leg, set} {
		got, err := shared.fly(t.Context(), &job)
		want, fresh := new(flier).fly(t.Context(), &job)
		if err != nil || fresh != nil || !slices.Equal(got, want) {
			t.Errorf("job %d: %v, %v, or another answer than of one who flies nothing else", i, err, fresh)
		}
	}
}
