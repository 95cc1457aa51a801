package study_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/optimize/study"
	"ullage/testdata/briefs"

	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
)

func problem(t testing.TB, b *brief.Brief) *optimize.Problem {
	t.Helper()
	p, err := study.Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func result(p *optimize.Problem) *optimize.Result {
	return &optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
}

func TestProblemVariables(t *testing.T) {
	p := problem(t, briefs.Demo(t, "highest-in-class.toml"))
	if v := p.Variables[4]; v.Name != "fins.count" || !reflect.DeepEqual(v.Choices, []float64{3, 4}) {
		t.Errorf("fifth variable = %+v, want fins.count of 3 or 4", v)
	}
	if v := p.Variables[3]; v.Name != "chamber.fill" || v.From != 0.2 || v.To != 0.45 || v.Step != 0.01 {
		t.Errorf("fourth variable = %+v", v)
	}
	if p.Goals != 1 || p.Limits != 11 {
		t.Errorf("goals %d, limits %d; want 1, 11 with the three default ones", p.Goals, p.Limits)
	}
}

// TestEvaluatorMatchesFlight compares an evaluation with the flight of the same
// design, judged by hand.
func TestEvaluatorMatchesFlight(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	p := problem(t, b)
	x := []float64{0.15, 0.012, 0.25, 0.1, 4.8}
	got := result(p)
	p.Evaluator()(x, got)

	r, s := b.At(x)
	f := model.Fly(&r, &s, model.NewScratch())
	if r.Fins.Span != 0.15 || r.Chamber.Throat != 0.012 || r.Chamber.Fill != 0.25 || r.Payload.Mass != 0.1 || r.Recovery.Delay != 4.8 {
		t.Errorf("At(%v) = %+v", x, r)
	}
	apogee, _ := f.Figure(model.Apogee)
	margin, _ := f.Figure(model.Margin)
	want := result(p)
	want.Goals = []float64{-apogee, -0.1, -min(margin, 2)}
	for i, w := range want.Goals {
		if math.Abs(got.Goals[i]-w) <= 8e-6*math.Abs(w) { // what the integrator is true to
			want.Goals[i] = got.Goals[i]
		}
	}
	want.Slack = math.Inf(1)
	for i := range b.Limits {
		l := &b.Limits[i]
		v, ok := l.Metric.Value(&r, &s, &f)
		if !ok {
			t.Fatalf("no %s in a flight that landed", l.Metric.Key)
		}
		if l.Size {
			v = math.Abs(v)
		}
		slack := min(v-l.AtLeast, l.AtMost-v)
		want.Violations[i] = max(0, -slack)
		want.Slack = min(want.Slack, l.Scaled(slack))
	}
	if f.Outcome != model.Landed || !reflect.DeepEqual(got, want) {
		t.Errorf("evaluation of %v = %+v, want %+v (%v)", x, got, want, f.Outcome)
	}
}

// Flights that differ by the timer alone are level for nearly every design, though
// the integrator's steps near the top are others: their slack decides.
func TestLevelWhateverTheTimer(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	p := problem(t, b)
	evaluate, r := p.Evaluator(), result(p)
	apart, unequal := 0, 0
	for span := 0.12; span < 0.18; span += 0.002 {
		heights, exact := map[float64]bool{}, map[float64]bool{}
		x := []float64{span, 0.012, 0.25, 0.1, 8}
		rocket, site := b.At(x)
		f := model.Fly(&rocket, &site, model.NewScratch())
		top, _ := f.Figure(model.ApogeeTime)
		for late := 0.05; late < 2; late += 0.1 {
			x[4] = top + late - rocket.Recovery.Latency
			evaluate(x, r)
			heights[r.Goals[0]] = true
			rocket, site = b.At(x)
			f = model.Fly(&rocket, &site, model.NewScratch())
			apogee, _ := f.Figure(model.Apogee)
			exact[apogee] = true
		}
		if len(heights) > 1 {
			apart++
		}
		if len(exact) > 1 {
			unequal++
		}
	}
	if apart > 6 || unequal < 15 {
		t.Errorf("of 30 designs %d have other heights by their timer as searched, %d as flown; want a few, and most", apart, unequal)
	}
}

// firstOf evaluates the first design of a demo brief that was edited.
func firstOf(t *testing.T, name string, edits ...string) *optimize.Result {
	t.Helper()
	b, err := brief.Parse("x.toml", briefs.Edited(t, name, edits...))
	if err != nil {
		t.Fatal(err)
	}
	p := problem(t, b)
	r := result(p)
	p.Evaluator()(p.First[0], r)
	return r
}

// TestFailedFlight evaluates a design that cannot leave the pad: finite goals,
// violations, the mark.
func TestFailedFlight(t *testing.T) {
	r := firstOf(t, briefs.High, `mass = "420 g"`, `mass = "45 kg"`)
	if !r.Failed || r.Goals[0] != 0 || r.Violations[2] != 6 || r.Slack != -1 {
		t.Errorf("evaluation = %+v, want failed, apogee 0, landing_speed missed by its own bound", r)
	}
}

func TestMissingGoalFails(t *testing.T) {
	r := firstOf(t, "bottle.toml", `apogee = "highest"`, `line_factor = "highest"`)
	if !r.Failed || r.Goals[0] != 0 {
		t.Errorf("evaluation without the goal's figure = %+v, want failed", r)
	}
}

func TestMinimised(t *testing.T) {
	inf := math.Inf(1)
	for _, row := range []struct {
		goal    brief.Goal
		v, want float64
	}{
		{brief.Goal{Sense: brief.Highest, UpTo: inf}, 3, -3},
		{brief.Goal{Sense: brief.Highest, UpTo: 2}, 3, -2},
		{brief.Goal{Sense: brief.Lowest, UpTo: -inf}, 3, 3},
		{brief.Goal{Sense: brief.Lowest, UpTo: 4}, 3, 4},
		{brief.Goal{Sense: brief.Nearest, Target: 5}, 3, 2},
		{brief.Goal{Sense: brief.Nearest, Target: 5}, 7, 2},
	} {
		if got := row.goal.Natural(row.want); got != max(row.want, -row.want) {
			t.Errorf("%v goal: Natural(%v) = %v, want its size: all values here are positive", row.goal.Sense, row.want, got)
		}
		if got := row.goal.Minimised(row.v); got != row.want {
			t.Errorf("%v goal %+v: Minimised(%v) = %v, want %v", row.goal.Sense, row.goal, row.v, got, row.want)
		}
	}
}

func TestDescribe(t *testing.T) {
	src := briefs.Edited(t, briefs.High, `apogee         = "highest"`, `apogee = { nearest = "100 m" }`,
		`"payload.mass" = "highest"`, `"payload.mass" = { lowest = true, up_to = "50 g" }`+"\nflight_time = \"lowest\"\nmax_mach = { highest = true, up_to = 0.4 }")
	b, err := brief.Parse("x.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"nearest 100 m", "lowest down to 0.05 kg", "lowest", "highest up to 0.4", "highest up to 2 cal"} {
		if got := b.Goals[i].Describe(); got != want {
			t.Errorf("goal %d is described as %q, want %q", i+1, got, want)
		}
	}
}

// TestSmallestPopulation holds what a brief accepts to what the search takes.
func TestSmallestPopulation(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml", "search.population=4", "search.flights=8", "search.islands=2")
	s := optimize.Settings{Islands: b.Search.Islands, Population: b.Search.Population, Flights: b.Search.Flights}
	if _, err := optimize.Evolve(t.Context(), problem(t, b), s, 1, nil); err != nil {
		t.Errorf("a population of 4: %v", err)
	}
	s.Population = 3
	if _, err := optimize.Evolve(t.Context(), problem(t, b), s, 1, nil); err == nil {
		t.Error("the search takes a population of 3, the brief does not")
	}
}

// TestTrajectoryLimits holds what wind does to a flight: the lean by its size,
// to either side, the incidence and the unstable time as they are.
func TestTrajectoryLimits(t *testing.T) {
	src := briefs.Edited(t, briefs.High, "[limits]", `[limits]
thrust_end_lean = { at_most = "4 deg" }
peak_incidence  = { at_most = "10 deg" }
unstable_time   = { at_most = "50 ms" }`)
	fly := func(set ...string) (*brief.Brief, model.Flight, []float64) {
		b, err := brief.Parse("x.toml", src, set...)
		if err != nil {
			t.Fatal(err)
		}
		f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
		return b, f, study.NewJudge(b).Of(&b.Rocket, &b.Site, &f).Slacks
	}
	const degree = math.Pi / 180
	for _, row := range []struct {
		set  []string
		met  [3]bool
		sign float64 // of the lean
	}{
		{[]string{"site.wind=1 m/s", "site.tilt=0 deg"}, [3]bool{true, true, true}, -1},
		{[]string{"site.wind=1 m/s", "site.tilt=8 deg"}, [3]bool{false, true, true}, -1},
		{[]string{"site.wind=1 m/s", "site.tilt=-8 deg"}, [3]bool{false, true, true}, 1},
		{[]string{"site.wind=9 m/s"}, [3]bool{true, false, true}, -1},
		{[]string{"site.wind=0.01 m/s", "site.tilt=0 deg", "fins.span=60 mm"}, [3]bool{true, true, false}, 0},
	} {
		b, f, slacks := fly(row.set...)
		for i, id := range []model.Figure{model.ThrustEndLean, model.PeakIncidence, model.UnstableTime} {
			v, ok := f.Figure(id)
			want := [3]float64{4 * degree, 10 * degree, 0.05}[i] - math.Abs(v)
			if s := slacks[i]; !ok || !(math.Abs(s-want) <= 1e-15) || (s >= 0) != row.met[i] {
				t.Errorf("%v: %s = %v, slack %v, want %v, met %v", row.set, model.Figures[id].Key, v, s, want, row.met[i])
			}
			if id == model.ThrustEndLean && v*row.sign < 0 {
				t.Errorf("%v: lean %v, want the other side", row.set, v)
			}
		}
		// A search sees the same.
		p := problem(t, b)
		r := result(p)
		p.Evaluator()(p.First[0], r)
		for i, met := range row.met {
			if (r.Violations[i] == 0) != met {
				t.Errorf("%v: violation %d is %v, met %v", row.set, i, r.Violations[i], met)
			}
		}
	}
}

// TestBinding reaches a limit in both directions of rounding.
func TestBinding(t *testing.T) {
	b := briefs.Demo(t, briefs.High, "chamber.pressure=145 psi", "chamber.proof=217.5 psi")
	f := model.Fly(&b.Rocket, &b.Site, model.NewScratch())
	last := len(b.Limits) - 1
	slack := study.NewJudge(b).Of(&b.Rocket, &b.Site, &f).Slacks[last]
	if l := &b.Limits[last]; l.Metric.Key != "proof_ratio" || slack != 0 || !l.Binding(slack) {
		t.Errorf("proof ratio of exactly 1.5: slack %v, binding %v; want 0, true", slack, l.Binding(slack))
	}
}

func TestEvaluationAllocatesNothing(t *testing.T) {
	p := problem(t, briefs.Demo(t, briefs.High))
	fly, r := p.Evaluator(), result(p)
	if n := testing.AllocsPerRun(20, func() { fly(p.First[0], r) }); n != 0 {
		t.Errorf("%v allocations an evaluation, want 0", n)
	}
}

// TestGustLimit judges what takes flights of its own, in a search as elsewhere.
func TestGustLimit(t *testing.T) {
	for _, row := range []struct {
		limit string
		kept  bool
	}{{"60 deg", true}, {"1 deg", false}} {
		b := briefs.Parse(t, briefs.Edited(t, "highest-in-class.toml", "guide_speed ", `gust_incidence = { at_most = "`+row.limit+`" }`+"\nguide_speed "))
		scratch := model.NewScratch()
		f := model.Fly(&b.Rocket, &b.Site, scratch)
		angle, ok := model.GustIncidence(&b.Rocket, &b.Site, scratch)
		at := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Gust })
		slack := study.NewJudge(b).Of(&b.Rocket, &b.Site, &f).Slacks[at]
		if want := b.Limits[at].AtMost - angle; !ok || slack != want || (slack >= 0) != row.kept {
			t.Errorf("%s: slack %v, want %v, kept %v", row.limit, slack, want, row.kept)
		}
		p := problem(t, b)
		r := result(p)
		p.Evaluator()(b.Own(), r)
		if got := r.Violations[at]; got != -slack {
			t.Errorf("%s: the search sees it missed by %v, want %v", row.limit, got, -slack)
		}
	}
}

// TestInside tells a search for one goal how far inside its limits a design is,
// even where a figure has no end, and a search for several nothing of it.
func TestInside(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	several, p := result(problem(t, b)), problem(t, b)
	p.Evaluator()(b.Own(), several)
	if p.Distances || slices.Min(several.Violations) < 0 {
		t.Errorf("several goals: violations %v, distances %v; want none below 0", several.Violations, p.Distances)
	}
	b.Goals = b.Goals[:1]
	at := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Key == "flutter_factor" })
	b.Limits[at].AtLeast = 1e-3 // which it exceeds a thousandfold
	p = problem(t, b)
	one := result(p)
	p.Evaluator()(b.Own(), one)
	if got := one.Violations[at]; !p.Distances || math.Abs(got+1e-2) > 1e-15 {
		t.Errorf("a flutter factor far beyond 0.001: violation %v, want ten times the bound below 0", got)
	}
	for k, v := range several.Violations {
		if k != at && max(0, one.Violations[k]) != v {
			t.Errorf("limit %d is missed by %v with one goal, %v with several", k, one.Violations[k], v)
		}
	}
}
