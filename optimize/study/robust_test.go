package study

import (
	"context"
	"math"
	"reflect"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

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

// TestProofUnderScatter holds that the proof ratio is judged as set under scatter of
// the pressure: a chamber tested to too little keeps the limit in no flight, and one
// tested to just enough in all.
func TestProofUnderScatter(t *testing.T) {
	const flights = 60
	for proof, want := range map[string]int{"22.4 bar": 0, "22.5 bar": flights, "30 bar": flights} {
		b := briefs.Demo(t, "field-day.toml", "chamber.proof="+proof)
		k := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Metric.Key == "proof_ratio" })
		e := newEnsemble(b, scatter.New(b, scatter.Report, flights, 1, 5))
		e.fly(b.Own(), nil)
		if got := e.met[k]; got != want {
			t.Errorf("tested to %s at 15 bar: kept in %d of %d flights, want %d", proof, got, flights, want)
		}
	}
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
	b := briefs.Roomy(t, nil, "search.robust.draws=200", "search.flights=18000", "search.front=10")
	_, o := searched(t, b)
	proven := Prove(context.Background(), b, &o, 2)
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

// timid is a robust search of the roomy brief, and bold its limits with designs of
// a search that knew no scatter: these sit on their limits, and most fail.
func timid(t *testing.T) (b *brief.Brief, found optimize.Outcome) {
	t.Helper()
	b = briefs.Roomy(t, nil, "search.robust.draws=100", "search.robust.confidence=0.9", "search.flights=12000", "search.front=20")
	_, found = searched(t, b)
	return b, found
}

func bold(t *testing.T) []optimize.Design {
	t.Helper()
	_, o := searched(t, briefs.Roomy(t, nil, "search.flights=3000"))
	return optimize.Choose(o.Archive, 10)
}

// TestProve keeps to its flights, drops what does not hold, leaves no design that
// another outdoes and does not depend on the workers.
func TestProve(t *testing.T) {
	b, o := timid(t)
	o.Kept = slices.Concat(bold(t), o.Kept)
	plan := b.Plan()
	if plan.Proof != 4000 || plan.Each != 500 || plan.Screen != 100 {
		t.Fatalf("plan %+v, want a third of 12000 flights, 100 to choose a design and 500 to prove it", plan)
	}
	one, two := Prove(context.Background(), b, &o, 1), Prove(context.Background(), b, &o, 3)
	if !reflect.DeepEqual(one, two) {
		t.Errorf("1 worker: %+v\n3 workers: %+v", one, two)
	}
	if one.Flights > plan.Proof || one.Checked == 0 || one.Checked > one.Screened || one.Flights <= plan.Each*one.Checked {
		t.Errorf("%+v, want at most %d flights, 500 for each that was checked and some to choose them", one.Count, plan.Proof)
	}
	if !one.Met || len(one.Designs) > one.Checked-one.Dropped {
		t.Errorf("%d designs, want no more than the %d that were held", len(one.Designs), one.Checked-one.Dropped)
	}
	for i, p := range one.Designs {
		for k, q := range one.Designs {
			if outdoes(&q, &p) {
				t.Errorf("design %d is outdone by design %d", i, k)
			}
		}
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	if p := Prove(ended, b, &o, 2); p.Flights != 0 || p.Met {
		t.Errorf("interrupted: %+v, want nothing", p)
	}
}

// outdoes is by hand what nonDominated says.
func outdoes(q, p *Proof) bool {
	better := q.All.Met > p.All.Met
	for k := range p.Goals {
		if q.Goals[k] > p.Goals[k] {
			return false
		}
		better = better || q.Goals[k] < p.Goals[k]
	}
	return q.All.Met >= p.All.Met && better
}

// TestProofReplacesNothing has exactly those designs proved that the screening
// passed, each once, with bounds that are exact.
func TestProofReplacesNothing(t *testing.T) {
	b, o := timid(t)
	s := screen(context.Background(), b, o.Kept, 2)
	proven := Prove(context.Background(), b, &o, 2)
	held := Proofs(context.Background(), b, s.passed, 1)
	if proven.Checked != len(s.passed) || proven.Flights != s.flights+500*len(s.passed) || proven.Screened != len(s.passed)+len(s.failed) {
		t.Errorf("%+v, want the %d designs that passed proved once", proven.Count, len(s.passed))
	}
	dropped := 0
	for _, p := range held {
		kept := true
		for _, c := range p.Chances {
			// Clopper & Pearson (1934) by the beta distribution.
			exact := distuv.Beta{Alpha: float64(c.Met), Beta: float64(c.Flights-c.Met) + 1}.Quantile(0.05)
			if c.Flights != 500 || math.Abs(c.AtLeast()-exact) > 1e-9 {
				t.Errorf("%d of %d: at least %v, want %v of 500", c.Met, c.Flights, c.AtLeast(), exact)
			}
			kept = kept && exact >= 0.9
		}
		if p.Held != kept {
			t.Errorf("held %v, its bounds say %v", p.Held, kept)
		}
		if !kept {
			dropped++
		}
	}
	if proven.Dropped != dropped {
		t.Errorf("%d dropped, want %d", proven.Dropped, dropped)
	}
	for _, p := range proven.Designs {
		if !slices.ContainsFunc(held, func(q Proof) bool { return q.Held && reflect.DeepEqual(q, p) }) {
			t.Errorf("design %v was not among those that passed and held", p.X)
		}
	}
}

// TestScreening stops a design early, but for no other reason than that it cannot
// pass, whatever the order of the days; what one that passed beats is not flown.
func TestScreening(t *testing.T) {
	b, o := timid(t)
	designs := slices.Concat(bold(t), o.Kept[:20])
	plan := b.Plan()
	draws := scatter.New(b, scatter.Screening, plan.Screen, plan.PerDay, b.Search.Seed)
	needed := int(math.Ceil(share(b) * float64(plan.Screen)))
	e := newEnsemble(b, draws)
	order := hardest(make([]int, plan.Screen))
	stopped, passed := 0, 0
	for _, d := range designs {
		e.fly(d.X, nil)
		want := !e.failed && slices.Min(e.met) >= needed
		slices.Reverse(order)
		got := e.passes(d.X, order, needed)
		if got.passed != want {
			t.Errorf("design %v passes: %v, want %v", d.X, got.passed, want)
		}
		if got.days < plan.Screen {
			stopped++
		}
		if got.passed {
			passed++
		}
	}
	if stopped == 0 || passed == 0 {
		t.Fatalf("%d of %d designs stopped, %d passed; want both", stopped, len(designs), passed)
	}
	s := screen(context.Background(), b, designs, 2)
	for _, d := range s.passed {
		if e.fly(d.X, nil); e.failed || slices.Min(e.met) < needed {
			t.Errorf("design %v passed, and keeps its limits in %v of 100 flights made for the screening, want %d", d.X, e.met, needed)
		}
	}
	for _, d := range s.failed {
		if e.fly(d.X, nil); !e.failed && slices.Min(e.met) >= needed {
			t.Errorf("design %v failed, and keeps its limits in %v of 100 flights made for the screening", d.X, e.met)
		}
	}
	for i, d := range s.passed {
		for _, before := range s.passed[:i] {
			if beats(before, d) {
				t.Errorf("design %v was flown though %v, which passed, beats it", d.X, before.X)
			}
		}
	}
	if got := hardest([]int{0, 3, 1, 3}); !slices.Equal(got, []int{1, 3, 2, 0}) {
		t.Errorf("days in the order %v, want the hardest first", got)
	}
}

// TestDrawsOfTheirOwn counts a proof again under draws made for proofs, and under
// those of the search and of the screening, which prove nothing.
func TestDrawsOfTheirOwn(t *testing.T) {
	b := briefs.Roomy(t, nil, "search.robust.draws=100", "search.robust.confidence=0.9")
	plan := b.Plan()
	designs := []optimize.Design{{X: b.Own(), Result: optimize.Result{Goals: make([]float64, len(b.Goals))}}}
	got := Proofs(context.Background(), b, designs, 1)[0]
	sums := map[scatter.Purpose]float64{}
	for _, purpose := range []scatter.Purpose{scatter.Proof, scatter.Screening, scatter.Search} {
		draws, own, around := scatter.New(b, purpose, plan.Each, plan.PerDay, b.Search.Seed), b.Rocket, b.Site
		for i := range draws.Flights() {
			r, s := own, around
			draws.At(i, &own, &around, &r, &s)
			f := model.Fly(&r, &s, model.NewScratch())
			v, _ := f.Figure(model.Apogee)
			sums[purpose] += v / float64(draws.Flights())
		}
	}
	mean := b.Goals[0].Natural(got.Goals[0])
	if math.Abs(mean-sums[scatter.Proof]) > 1e-9*mean || mean == sums[scatter.Search] || mean == sums[scatter.Screening] || sums[scatter.Screening] == sums[scatter.Search] {
		t.Errorf("mean apogee %v of the proof, want %v; under other draws it is %v", mean, sums[scatter.Proof], sums)
	}
}

// TestNothingHolds gives the nearest designs where none is held, with what would
// have been: the slack that as many flights keep as are needed.
func TestNothingHolds(t *testing.T) {
	b := briefs.Roomy(t, []string{`{ at_most = "20 gn" }`, `{ at_most = "12 gn" }`}, "search.robust.draws=60", "search.flights=6000", "search.front=5")
	_, o := searched(t, b)
	p := Prove(context.Background(), b, &o, 2)
	if p.Met || len(p.Designs) == 0 || len(p.Designs) > 5 || p.Dropped != p.Checked || p.Flights > b.Plan().Proof {
		t.Fatalf("met %v, %d designs, %+v; want up to 5 that are not held", p.Met, len(p.Designs), p.Count)
	}
	needed, _ := constraints.Needed(500, 0.95)
	e := newEnsemble(b, scatter.New(b, scatter.Proof, 500, 1, b.Search.Seed))
	for i := range p.Designs {
		if i > 0 && p.Designs[i].weakest() > p.Designs[i-1].weakest() {
			t.Errorf("design %d is nearer than design %d before it", i+1, i)
		}
		e.fly(p.Designs[i].X, nil)
		for k, shown := range p.Designs[i].Shown {
			kept, better := 0, 0
			for _, v := range e.numbers[k] {
				if slack := e.limits[k].Slack(v); slack >= shown {
					kept++
					if slack > shown {
						better++
					}
				}
			}
			if kept < needed || better >= needed {
				t.Errorf("design %d: a slack of %v to %s is kept by %d flights and bettered by %d, want %d", i+1, shown, b.Limits[k].Metric.Key, kept, better, needed)
			}
			if (shown >= 0) != (p.Designs[i].Chances[k].Met >= needed) {
				t.Errorf("design %d: %s is kept by %d flights, and a slack of %v is shown", i+1, b.Limits[k].Metric.Key, p.Designs[i].Chances[k].Met, shown)
			}
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
	// 484 of 500 flights show 95 %.
	needed, _ := constraints.Needed(500, 0.95)
	if needed != 484 {
		t.Fatalf("%d of 500 needed, want 484", needed)
	}
	mean, deviation := constraints.Moments(load)
	want := max(0, mean+distuv.UnitNormal.Quantile(0.968)*deviation-20*9.80665)
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
		{[]string{"search.flights=90000", "search.robust.draws=100", "search.front=10"}, 78000, 12000},
	} {
		b := briefs.Roomy(t, nil, row.set...)
		if p := b.Plan(); p.Search != row.search || p.Proof != row.proof {
			t.Errorf("%v: %d flights to search, %d to prove; want %d, %d", row.set, p.Search, p.Proof, row.search, row.proof)
		}
	}
}

// What is shown of a limit is the slack that as many flights have as the proof
// asks for, of each day the first; none where one less has any, or one failed.
func TestShown(t *testing.T) {
	for _, day := range []string{"", briefs.ADay} {
		b := robustField(t, "best 2 of 3", day)
		plan := b.Plan()
		e := newEnsemble(b, scatter.New(b, scatter.Proof, plan.Each, plan.PerDay, 1))
		needed, ok := constraints.Needed(plan.Days, b.Search.Robust.Confidence)
		if !ok || needed >= plan.Days {
			t.Fatalf("%d of %d days needed", needed, plan.Days)
		}
		for at := range plan.Days {
			for i := range plan.PerDay {
				e.numbers[0][at*plan.PerDay+i] = b.Limits[0].AtLeast - 1 // of later flights of a day
			}
			e.numbers[0][at*plan.PerDay] = b.Limits[0].AtLeast + float64((at*7)%plan.Days)
		}
		if got, want := e.shown(0), float64(plan.Days-needed); math.Abs(got-want) > 1e-9 {
			t.Errorf("of slacks from 0 to %d %v is shown, want %v: %d have no less", plan.Days-1, got, want, needed)
		}
		for at := range plan.Days - needed {
			e.numbers[0][at*plan.PerDay] = math.NaN()
		}
		least := math.Inf(1)
		for at := plan.Days - needed; at < plan.Days; at++ {
			least = min(least, float64((at*7)%plan.Days))
		}
		if got := e.shown(0); math.Abs(got-least) > 1e-9 {
			t.Errorf("where just as many have a number as are needed %v is shown, want the least, %v", got, least)
		}
		e.numbers[0][(plan.Days-1)*plan.PerDay] = math.NaN()
		if got := e.shown(0); !math.IsNaN(got) {
			t.Errorf("where one less has a number %v is shown, want nothing", got)
		}
		e.numbers[0][(plan.Days-1)*plan.PerDay], e.failed = b.Limits[0].AtLeast, true
		if got := e.shown(0); !math.IsNaN(got) {
			t.Errorf("where a flight failed %v is shown, want nothing", got)
		}
	}
}
