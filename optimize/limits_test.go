package optimize

import (
	"math"
	"slices"
	"testing"
)

// torn has two limits that no design meets, in units a thousand apart, which
// draw x to 0 and to 1. The largest violations, 2 and 2000, are given first.
func torn() Problem {
	return Problem{
		Variables: []Variable{{Name: "x", From: 0, To: 1}}, Goals: 1, Limits: 2, First: [][]float64{{0}, {1}},
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0] = x[0]
			r.Violations[0], r.Violations[1] = 1+x[0]*x[0], 1000*(1+(1-x[0])*(1-x[0]))
		}),
	}
}

// Each violation weighs as a share of the largest of its kind, so that the unit
// of a limit does not matter: x = 0.5 is the least violating design.
func TestViolationsWeighAlike(t *testing.T) {
	p := torn()
	for _, islands := range []int{1, 2} {
		o, err := Evolve(t.Context(), &p, Settings{Seed: 1, Flights: 2000, Islands: islands, Population: 20}, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		last := 0.0
		for i, d := range o.Archive {
			sum := d.Violations[0]/2 + d.Violations[1]/2000
			if sum < last {
				t.Errorf("%d islands: design %d misses by %v, the one before it by %v, want the least first", islands, i, sum, last)
			}
			last = sum
		}
		// Sums of violations are level to second order: within 1e-6 of the least,
		// 1.25, x is within 1e-3 of 0.5.
		if x := o.Archive[0].X[0]; math.Abs(x-0.5) > 1e-3 {
			t.Errorf("%d islands: the least violating design is at %v, want 0.5", islands, x)
		}
	}
}

// An island weighs violations by the largest that it has met, also by those that
// came aboard.
func TestMigrantsWidenTheScales(t *testing.T) {
	p := torn()
	s := Settings{Flights: 1000, Islands: 2, Population: 20}.filled(&p)
	aboard := func(genes float64, violations ...float64) Island {
		return Island{
			Flights: 1, Credits: make([]float64, operators), Scales: slices.Clone(violations),
			Population: Rows{Genes: []float64{genes}, Goals: []float64{1}, Violations: violations, Slack: []float64{0}, Failed: []bool{false}},
		}
	}
	islands := []Island{aboard(0.1, 5, 20), aboard(0.2, 3, 70)}
	islands[1].Index = 1
	migrate(&p, s, islands)
	for i := range islands {
		if n, got := islands[i].Population.Len(), islands[i].Scales; n != 2 || !slices.Equal(got, []float64{5, 70}) {
			t.Errorf("island %d: %d designs, scales %v, want 2 and those of the worst aboard, [5 70]", i, n, got)
		}
	}
}

// The reference of the hypervolume lies at the worst feasible design of all
// islands at the first barrier, goal by goal: below it lies the whole front.
func TestReferenceIsTheWorstKnown(t *testing.T) {
	p := tnk().Problem
	inner := p.Evaluator()
	var worst []float64
	p.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		if slices.Max(r.Violations) > 0 {
			return
		}
		if worst == nil {
			worst = slices.Clone(r.Goals)
		}
		for k, v := range r.Goals {
			worst[k] = max(worst[k], v)
		}
	})
	s := Settings{Seed: 1, Flights: 5000, Islands: 2, Population: 40}
	var first []float64
	o, err := Continue(t.Context(), &p, s, State{}, Local(&p, s, 1), func(st State) error {
		if first == nil {
			first = slices.Clone(worst)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(o.Reference, first) {
		t.Errorf("reference %v, want the worst of each goal at the first barrier, %v", o.Reference, first)
	}
	var points [][]float64
	for _, d := range o.Archive {
		points = append(points, d.Goals)
	}
	if want := Hypervolume(points, first); o.Hypervolume != want || want <= 0 {
		t.Errorf("hypervolume %v, want %v", o.Hypervolume, want)
	}
	// In the end each island knows a part of what all know.
	for _, r := range o.Records[len(o.Records)-2:] {
		if r.Hypervolume <= 0 || r.Hypervolume > o.Hypervolume*(1+1e-12) {
			t.Errorf("island %d ends with the hypervolume %v, want it above 0 and at most %v", r.Island, r.Hypervolume, o.Hypervolume)
		}
	}
}

// Of the feasible those leave that dominate most together: of two designs that
// may go, the two ends of a front, wherever they stand in the population.
func TestMigrantsAreSpread(t *testing.T) {
	p := Problem{Variables: unit(1), Goals: 2, Limits: 1}
	s := Settings{Flights: 1000, Islands: 2, Population: 20}.filled(&p)
	isl := Island{}
	for i := range 10 {
		x := float64((i+5)%10) / 10 // the ends, 0 and 0.9, are rows 5 and 4
		isl.Population.Genes = append(isl.Population.Genes, x)
		isl.Population.Goals = append(isl.Population.Goals, x, 1-x)
	}
	isl.Population.Violations, isl.Population.Slack, isl.Population.Failed = make([]float64, 10), make([]float64, 10), make([]bool, 10)
	got := migrants(&p, s, &isl)
	slices.Sort(got)
	if !slices.Equal(got, []int{4, 5}) {
		t.Errorf("rows %v leave, want 4 and 5", got)
	}
	// A design that misses a limit, or failed, does not go while others are there.
	isl.Population.Violations[4], isl.Population.Failed[5] = 1, true
	if got = migrants(&p, s, &isl); slices.Contains(got, 4) || slices.Contains(got, 5) || len(got) != 2 {
		t.Errorf("rows %v leave, want two of those that are feasible", got)
	}
}
