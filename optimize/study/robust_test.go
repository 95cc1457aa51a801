package study

import (
	"context"
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/testdata/briefs"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
)

func searched(t testing.TB, b *brief.Brief) (*optimize.Problem, optimize.Outcome) {
	t.Helper()
	p, err := Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	flights := b.Plan().Search
	o, err := optimize.Evolve(context.Background(), p, optimize.Settings{Seed: 1, Islands: 1, Flights: flights}, 2, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, o
}

// TestRobustFrontHolds flies what a robust search found with draws that it has
// not seen: every limit holds with the confidence, as one limit in twenty may
// not, and the front of a search without scatter does not.
func TestRobustFrontHolds(t *testing.T) {
	const fresh = 500
	share := func(b *brief.Brief, designs [][]float64) (fails, limits int) {
		e := newEnsemble(b, scatter.New(b, scatter.Report, fresh, 1, 77))
		for _, x := range designs {
			e.fly(x, nil)
			for _, met := range e.met {
				limits++
				if float64(met)/fresh < 0.95 {
					fails++
				}
			}
		}
		return fails, limits
	}
	b := briefs.Roomy(t, nil, "search.robust.draws=200", "search.flights=6000", "search.front=10")
	_, o := searched(t, b)
	proven := Prove(context.Background(), b, o.Archive, 2)
	if !proven.Met || len(proven.Designs) < 5 {
		t.Fatalf("%d designs, met %v; want at least 5", len(proven.Designs), proven.Met)
	}
	var xs [][]float64
	for i, p := range proven.Designs {
		xs = append(xs, p.X)
		if !p.Held {
			t.Errorf("design %d is not held and stays in the front", i+1)
		}
		for k, c := range p.Chances {
			if c.AtLeast() < 0.95 {
				t.Errorf("design %d: %s holds with at least %v, want 0.95", i+1, b.Limits[k].Metric.Key, c.AtLeast())
			}
		}
	}
	fails, limits := share(b, xs)
	if fails*20 > limits {
		t.Errorf("with fresh draws %d of %d limits hold less often than in 95 %% of flights, want at most one in twenty", fails, limits)
	}

	plain := briefs.Roomy(t, nil, "search.flights=3000")
	_, o = searched(t, plain)
	xs = nil
	for _, d := range optimize.Choose(o.Archive, 10) {
		xs = append(xs, d.X)
	}
	if fails, _ := share(plain, xs); fails < len(xs)/2 {
		t.Errorf("a search without scatter: %d limits of %d designs fail under it, want at least half as many as designs", fails, len(xs))
	}
}

// TestProve drops what does not hold, keeps to its flights and does not depend
// on the workers.
func TestProve(t *testing.T) {
	b := briefs.Roomy(t, nil, "search.robust.draws=100", "search.robust.confidence=0.9", "search.flights=6000", "search.front=20")
	_, o := searched(t, b)
	// Designs of a search that knew no scatter sit on their limits: most fail.
	_, bold := searched(t, briefs.Roomy(t, nil, "search.flights=3000"))
	o.Archive = slices.Concat(optimize.Choose(bold.Archive, 10), optimize.Choose(o.Archive, 10))
	flights := b.Plan().Proof
	if flights != 2000 {
		t.Fatalf("%d flights kept for the proof, want a third of 6000", flights)
	}
	one, two := Prove(context.Background(), b, o.Archive, 1), Prove(context.Background(), b, o.Archive, 3)
	if !reflect.DeepEqual(one, two) {
		t.Errorf("1 worker: %+v\n3 workers: %+v", one, two)
	}
	if one.Flights > flights || one.Flights != 100*one.Checked || one.Checked == 0 || one.Dropped == 0 || one.Dropped >= one.Checked {
		t.Errorf("%d flights, %d checked, %d dropped; want 100 flights each, at most %d, some dropped", one.Flights, one.Checked, one.Dropped, flights)
	}
	if len(one.Designs) > one.Checked-one.Dropped {
		t.Errorf("%d designs, want no more than the %d that were held", len(one.Designs), one.Checked-one.Dropped)
	}
	for i, p := range one.Designs {
		for _, q := range one.Designs {
			if dominates(q.Goals, p.Goals) {
				t.Errorf("design %d is dominated", i)
			}
		}
	}
	again := Proofs(context.Background(), b, []optimize.Design{one.Designs[0].Design}, 1)
	if !reflect.DeepEqual(again[0].Chances, one.Designs[0].Chances) || !slices.Equal(again[0].Goals, one.Designs[0].Goals) {
		t.Errorf("a second proof shows %+v, the first %+v", again[0], one.Designs[0])
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	if p := Prove(ended, b, o.Archive, 2); p.Flights != 0 || p.Met {
		t.Errorf("interrupted: %+v, want nothing", p)
	}
}

// TestNothingHolds gives the nearest designs where none is held.
func TestNothingHolds(t *testing.T) {
	b := briefs.Roomy(t, []string{`{ at_most = "20 gn" }`, `{ at_most = "12 gn" }`}, "search.robust.draws=60", "search.flights=1500", "search.front=5")
	_, o := searched(t, b)
	p := Prove(context.Background(), b, o.Archive, 2)
	if p.Met || len(p.Designs) == 0 || len(p.Designs) > 5 || p.Dropped != p.Checked {
		t.Fatalf("met %v, %d designs, %d of %d dropped; want up to 5 that are not held", p.Met, len(p.Designs), p.Dropped, p.Checked)
	}
	for i := 1; i < len(p.Designs); i++ {
		if p.Designs[i].weakest() > p.Designs[i-1].weakest() {
			t.Errorf("design %d is nearer than design %d before it", i+1, i)
		}
	}
}

// TestRobustEvaluation compares an evaluation with its four flights, judged by
// hand, and holds the proof ratio to what is set.
func TestRobustEvaluation(t *testing.T) {
	b := briefs.Roomy(t, nil, "search.robust.draws=200")
	p, err := Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	if p.Cost != 4 {
		t.Errorf("an evaluation costs %d flights, want 4", p.Cost)
	}
	x := []float64{0.15, 0.012, 0.3, 0.1, 5.2}
	got := optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
	evaluate := p.Evaluator()
	evaluate(x, &got)

	d, scratch := scatter.New(b, scatter.Search, 4, 1, b.Search.Seed), model.NewScratch()
	var height, load []float64
	for i := range 4 {
		own, around := b.At(x)
		r, s := own, around
		d.At(i, &own, &around, &r, &s)
		f := model.Fly(&r, &s, scratch)
		h, _ := f.Figure(model.Apogee)
		a, _ := f.Figure(model.Acceleration)
		height, load = append(height, h), append(load, a)
	}
	mean, _ := constraints.Moments(height)
	if math.Abs(got.Goals[0]+mean) > 1e-12*mean {
		t.Errorf("apogee %v, want the mean %v", -got.Goals[0], mean)
	}
	if got.Goals[1] != -0.1 {
		t.Errorf("payload %v, want it as set, 0.1 kg", -got.Goals[1])
	}
	// 196 of 200 flights show 95 %: 2.054 deviations.
	needed, _ := constraints.Needed(200, 0.95)
	if needed != 196 {
		t.Fatalf("%d of 200 needed, want 196", needed)
	}
	mean, deviation := constraints.Moments(load)
	want := max(0, mean+2.0537489106318225*deviation-20*9.80665)
	if math.Abs(got.Violations[1]-want) > 1e-9 {
		t.Errorf("acceleration is missed by %v, want %v", got.Violations[1], want)
	}
	if got.Violations[7] != 0 {
		t.Errorf("proof_ratio of exactly 1.5, as set, is missed by %v", got.Violations[7])
	}
	if n := testing.AllocsPerRun(5, func() { evaluate(x, &got) }); n != 0 {
		t.Errorf("%v allocations an evaluation, want 0", n)
	}
}

// TestRobustFailure marks a design of which one flight in four fails, and one
// of which a limited figure is missing.
func TestRobustFailure(t *testing.T) {
	b := briefs.Roomy(t, []string{`"site.wind"        = "1 m/s"`, `"payload.mass" = "12 kg"`}, "search.robust.draws=200")
	p, err := Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	r := optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
	p.Evaluator()(p.First[0], &r)
	if !r.Failed || r.Slack >= 0 || math.IsNaN(r.Slack) {
		t.Errorf("a flight that stays on the pad: %+v, want failed", r)
	}
	proof := Proofs(context.Background(), b, []optimize.Design{{X: p.First[0], Result: r}}, 1)[0]
	if proof.Held || proof.All.Share() > 0.9 {
		t.Errorf("proof = %+v, want it not held", proof)
	}
}

func TestShares(t *testing.T) {
	for _, row := range []struct {
		set           []string
		search, proof int
	}{
		{[]string{"search.flights=9000"}, 9000, 0},
		{[]string{"search.flights=9000", "search.robust.draws=200"}, 6000, 3000},
		{[]string{"search.flights=90000", "search.robust.draws=100", "search.front=10"}, 88000, 2000},
	} {
		b := briefs.Roomy(t, nil, row.set...)
		if p := b.Plan(); p.Search != row.search || p.Proof != row.proof {
			t.Errorf("%v: %d flights to search, %d to prove; want %d, %d", row.set, p.Search, p.Proof, row.search, row.proof)
		}
	}
}
