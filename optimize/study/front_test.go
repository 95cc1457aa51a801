package study

import (
	"context"
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// TestOrder ranks by the distance to the ideal in shares of each goal's range.
func TestOrder(t *testing.T) {
	for _, row := range []struct {
		why   string
		goals [][]float64
		want  []int
	}{
		{"the middle is nearer than either end", [][]float64{{0, 10}, {10, 0}, {5, 5}}, []int{2, 0, 1}},
		{"units do not count", [][]float64{{0, 0.7}, {600, 0}, {1000, 1}}, []int{1, 0, 2}},
		{"nor does what is the same in all", [][]float64{{1, 7}, {0, 7}, {2, 7}}, []int{1, 0, 2}},
		{"nor where the goals begin", [][]float64{{1007, -3}, {1000, -1}, {1010, -5}}, []int{0, 1, 2}},
		{"one", [][]float64{{3, 4}}, []int{0}},
	} {
		if got := Order(row.goals); !slices.Equal(got, row.want) {
			t.Errorf("%s: %v, want %v", row.why, got, row.want)
		}
	}
}

func TestNonDominated(t *testing.T) {
	var all []Proof
	for _, goals := range [][]float64{{0, 2}, {1, 1}, {1, 2}, {2, 0}, {2, 0}, {2, 1}} {
		all = append(all, Proof{Design: optimize.Design{Result: optimize.Result{Goals: goals}}})
	}
	var got [][]float64
	for _, p := range nonDominated(all) {
		got = append(got, p.Goals)
	}
	if want := [][]float64{{0, 2}, {1, 1}, {2, 0}, {2, 0}}; !reflect.DeepEqual(got, want) {
		t.Errorf("%v are left, want %v: equals do not dominate each other", got, want)
	}
}

// archive has designs of a brief with the goals that a search would keep.
func archive(t *testing.T, b *brief.Brief, payloads ...float64) []optimize.Design {
	t.Helper()
	p, err := Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	fly := p.Evaluator()
	var all []optimize.Design
	for _, mass := range payloads {
		x := b.Own()
		x[slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == "payload.mass" })] = mass
		d := optimize.Design{X: x, Result: optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}}
		fly(x, &d.Result)
		all = append(all, d)
	}
	return all
}

// wantFlown holds a row to a flight of its design.
func wantFlown(t *testing.T, b *brief.Brief, row *Row, number int) {
	t.Helper()
	r, s := b.At(row.X)
	scratch := model.NewScratch()
	f := model.Fly(&r, &s, scratch)
	if row.Design != number || row.Outcome != f.Outcome || row.Warnings != f.Warnings {
		t.Errorf("row %d, %v, %v, want %d, %v, %v", row.Design, row.Outcome, row.Warnings, number, f.Outcome, f.Warnings)
	}
	for id := range model.Figures {
		v, ok := f.Figure(model.Figure(id))
		if got := row.Figures[id]; ok && got != v || ok == math.IsNaN(got) {
			t.Errorf("row %d: %s %v, flown %v, %v", number, model.Figures[id].Key, got, v, ok)
		}
	}
	if want := NewJudge(b).Of(&r, &s, &f).Slacks; !slices.Equal(row.Slacks, want) {
		t.Errorf("row %d: slacks %v, want %v", number, row.Slacks, want)
	}
	bare := model.Bare(&r, &s, scratch)
	if v, _ := bare.Figure(model.Drift); row.Figures[model.FigureCount+brief.BareDrift] != v {
		t.Errorf("row %d: without canopy at %v m, want %v", number, row.Figures[model.FigureCount+brief.BareDrift], v)
	}
}

// TestSettle flies the best of an archive, the nearest to the ideal first, and
// then the rest of it.
func TestSettle(t *testing.T) {
	b := briefs.Demo(t, briefs.High, "search.front=2")
	found := optimize.Outcome{Archive: archive(t, b, 0.06, 0.1, 0.16, 0.24), Met: true}
	front := Settle(t.Context(), b, &found, 1)
	if !front.Met || len(front.Rows) != 2 || len(front.Paths) != 2 || front.Proof != (Count{}) {
		t.Fatalf("met %v, %d rows, %d paths, proof %+v, want a front of two, without proof", front.Met, len(front.Rows), len(front.Paths), front.Proof)
	}
	chosen := optimize.Choose(found.Archive, 2)
	for i, at := range Order([][]float64{chosen[0].Goals, chosen[1].Goals}) {
		row := &front.Rows[i]
		wantFlown(t, b, row, i+1)
		if !slices.Equal(row.X, chosen[at].X) || row.Proof != nil {
			t.Errorf("row %d is %v, proof %v, want %v without one", i+1, row.X, row.Proof, chosen[at].X)
		}
		path := front.Paths[i]
		if last := path[len(path)-1]; math.Abs(last.T-row.Figures[model.FlightTime]) > 1e-3 {
			t.Errorf("the path of row %d ends after %v s, its flight after %v s", i+1, last.T, row.Figures[model.FlightTime])
		}
	}
	rows := Archive(t.Context(), b, front.Rows, found.Archive, 1)
	if again := Archive(t.Context(), b, front.Rows, found.Archive, 3); len(rows) != 4 || len(again) != 4 || !slices.EqualFunc(rows, again, func(a, b Row) bool { return slices.Equal(a.X, b.X) }) {
		t.Fatalf("%d and %d rows of an archive of 4, want the same by one worker and by three", len(rows), len(again))
	}
	for i := range rows {
		wantFlown(t, b, &rows[i], i+1)
		for _, other := range rows[:i] {
			if slices.Equal(rows[i].X, other.X) {
				t.Errorf("row %d stands there twice", i+1)
			}
		}
	}
	first, second := rows[0].X, rows[1].X
	if !slices.Equal(first, front.Rows[0].X) || !slices.Equal(second, front.Rows[1].X) {
		t.Errorf("the archive begins with %v and %v, want the front", first, second)
	}
}

// TestSettleRobust gives each row its own proof.
func TestSettleRobust(t *testing.T) {
	b := briefs.Roomy(t, nil, "search.robust.draws=60", "search.robust.confidence=0.9", "search.front=2")
	designs := archive(t, b, 0.06, 0.1, 0.16)
	found := optimize.Outcome{Archive: designs, Kept: designs, Met: true}
	front := Settle(t.Context(), b, &found, 1)
	if front.Proof.Checked == 0 || front.Proof.Flights <= front.Proof.Checked*b.Plan().Each || len(front.Rows) == 0 {
		t.Fatalf("%d rows, proof %+v", len(front.Rows), front.Proof)
	}
	for i := range front.Rows {
		row := &front.Rows[i]
		wantFlown(t, b, row, i+1)
		if row.Proof == nil || !slices.Equal(row.Proof.X, row.X) || row.Kept(b) != row.Proof.Held {
			t.Errorf("row %d of %v has the proof %+v", i+1, row.X, row.Proof)
		}
	}
}

// TestDraft tells at once of a search that is told to end: some designs of its
// front as flown, but for the timer settings, which take more flights.
func TestDraft(t *testing.T) {
	b := briefs.Demo(t, briefs.High, "search.front=500")
	var masses []float64
	for i := range 900 {
		masses = append(masses, 0.04+0.2*float64(i)/900)
	}
	found := optimize.Outcome{Archive: archive(t, b, masses...), Met: true}
	front, all := Draft(b, &found, 2)
	if !front.Met || len(front.Rows) != 100 || len(front.Paths) != 100 || len(all) != 400 {
		t.Fatalf("met %v, %d rows, %d paths, an archive of %d, want 100, 100, 400", front.Met, len(front.Rows), len(front.Paths), len(all))
	}
	for i := range front.Rows {
		wantFlown(t, b, &front.Rows[i], i+1)
		if !slices.Equal(all[i].X, front.Rows[i].X) {
			t.Errorf("the archive's row %d is %v, want that of the front, %v", i+1, all[i].X, front.Rows[i].X)
		}
	}
	for _, at := range []int{brief.DeployEarliest, brief.DeployLatest} {
		if v := front.Rows[0].Figures[int(model.FigureCount)+at]; !math.IsNaN(v) {
			t.Errorf("%s is %v, want it left out", brief.Extras[at].Key, v)
		}
	}
	if first, last := found.Archive[0].X, found.Archive[899].X; !slices.ContainsFunc(all, func(r Row) bool { return slices.Equal(r.X, first) }) ||
		!slices.ContainsFunc(all, func(r Row) bool { return slices.Equal(r.X, last) }) {
		t.Error("the ends of the archive are left out")
	}
	robust := briefs.Roomy(t, nil, "search.robust.draws=60", "search.robust.confidence=0.9", "search.front=2")
	found.Archive = archive(t, robust, 0.06, 0.1, 0.16)
	if front, _ := Draft(robust, &found, 1); len(front.Rows) != 2 || front.Met || front.Rows[0].Proof != nil || front.Rows[0].Kept(robust) {
		t.Errorf("robust: %d rows, met %v, want two that are not proved", len(front.Rows), front.Met)
	}
	for i, n := range []int{1, 2, 3, 399, 400, 401, 799, 900} {
		var designs []optimize.Design
		for len(designs) < n {
			designs = append(designs, optimize.Design{X: []float64{float64(len(designs))}})
		}
		some := evenly(designs, 400)
		if len(some) != min(n, 400) || !slices.Equal(some[0].X, designs[0].X) || !slices.Equal(some[len(some)-1].X, designs[n-1].X) {
			t.Errorf("case %d: %d of %d designs, want %d with both ends", i, len(some), n, min(n, 400))
		}
		for k := 1; k < len(some); k++ {
			if gap := some[k].X[0] - some[k-1].X[0]; gap < 1 || gap > 3 {
				t.Errorf("of %d designs %v follows %v", n, some[k].X[0], some[k-1].X[0])
			}
		}
	}
	found.Met = false
	if front, _ := Draft(b, &found, 1); front.Met || !slices.Equal(front.Rows[0].X, found.Archive[0].X) {
		t.Errorf("where no limit is kept: met %v, %v first, want the nearest to the limits", front.Met, front.Rows[0].X)
	}
}

// TestRows flies designs as given, in their order.
func TestRows(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	designs := [][]float64{b.Own(), b.Own(), b.Own()}
	designs[1][0], designs[2][0] = 0.1, 0.12
	for workers := 1; workers <= 4; workers++ {
		rows, whole := Rows(t.Context(), b, designs, workers)
		if !whole || len(rows) != 3 {
			t.Fatalf("%d rows, whole %v", len(rows), whole)
		}
		for i := range rows {
			if wantFlown(t, b, &rows[i], i+1); !slices.Equal(rows[i].X, designs[i]) {
				t.Errorf("%d workers: row %d is %v, want %v", workers, i+1, rows[i].X, designs[i])
			}
		}
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if rows, whole := Rows(ended, b, designs, 2); whole || rows[0].X != nil {
		t.Errorf("after an interrupt: whole %v, first row %v, want nothing flown", whole, rows[0])
	}
}

// TestRowKeeps tells from a row which limits its flight keeps and reaches, and
// from one with a proof which hold with the confidence.
func TestRowKeeps(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	row := Row{Slacks: make([]float64, len(b.Limits))}
	key := func(i int) string { return b.Limits[i].Metric.Key }
	for i := range row.Slacks {
		row.Slacks[i] = 1e9
	}
	if !row.Kept(b) || len(row.Missed(b)) != 0 || len(row.Binding(b)) != 0 {
		t.Errorf("far within: kept %v, missed %v, binding %v", row.Kept(b), row.Missed(b), row.Binding(b))
	}
	row.Slacks[0], row.Slacks[1], row.Slacks[2] = 0, -1e9, math.NaN()
	if row.Kept(b) || !slices.Equal(row.Missed(b), []string{key(1), key(2)}) || !slices.Equal(row.Binding(b), []string{key(0)}) {
		t.Errorf("slacks %v: kept %v, missed %v, binding %v", row.Slacks[:3], row.Kept(b), row.Missed(b), row.Binding(b))
	}
	robust := briefs.Roomy(t, nil, "search.robust.draws=60")
	proof := Proof{Held: true}
	for range robust.Limits {
		proof.Chances = append(proof.Chances, constraints.Chance{Met: 59, Flights: 60})
	}
	robust.Search.Robust.Confidence = proof.Chances[0].AtLeast()
	row = Row{Slacks: make([]float64, len(robust.Limits)), Proof: &proof}
	if missed := row.Missed(robust); len(missed) != 0 || !row.Kept(robust) {
		t.Errorf("chances as large as asked for: missed %v, kept %v", missed, row.Kept(robust))
	}
	proof.Chances[1].Met, proof.Held = 58, false
	if missed := row.Missed(robust); len(missed) != 1 || missed[0] != robust.Limits[1].Metric.Key || row.Kept(robust) {
		t.Errorf("one flight less: missed %v, kept %v", missed, row.Kept(robust))
	}
}

// TestLandings are those of the report's draws; none where nothing scatters.
func TestLandings(t *testing.T) {
	b := briefs.Scattering(t, briefs.ADay)
	rows := []Row{{X: b.Own()}, {X: []float64{0.15, 0.012, 0.25, 0.1, 4.8}}}
	got := Landings(t.Context(), b, rows, 2)
	if len(got) != 2 {
		t.Fatalf("landings of %d rows, want 2", len(got))
	}
	for i := range rows {
		each := Scatterer(b, len(got[i]), b.Search.Seed)(rows[i].X).Each
		for k, f := range each {
			if want := (Landing{figure(&f, model.Drift), figure(&f, model.LandingSpeed)}); got[i][k] != want {
				t.Errorf("landing %d of row %d: %+v, want %+v", k, i+1, got[i][k], want)
			}
		}
		if len(each) < 50 {
			t.Errorf("row %d: %d landings, want enough to see a cloud", i+1, len(each))
		}
	}
	plain := briefs.Demo(t, "bottle.toml")
	if got := Landings(t.Context(), plain, []Row{{X: plain.Own()}}, 1); got != nil {
		t.Errorf("landings without scatter: %v", got)
	}
}

// TestKeeper keeps of a flight what a sweep asked for, and goes on after one
// that broke the program.
func TestKeeper(t *testing.T) {
	b := briefs.Demo(t, briefs.High)
	if _, err := Keeper(b, []string{"apogee", "height"}); err == nil {
		t.Error("no fault for a key that is of nothing")
	}
	fly, err := Keeper(b, []string{"apogee", "chamber.throat", "tube_time"})
	if err != nil {
		t.Fatal(err)
	}
	x := []float64{0.15, 0.012, 0.25, 0.1, 4.8}
	r, s := b.At(x)
	f := model.Fly(&r, &s, model.NewScratch())
	apogee, _ := f.Figure(model.Apogee)
	verdict := NewJudge(b).Of(&r, &s, &f)
	if verdict.Kept {
		t.Fatal("want a design that misses a limit")
	}
	var k Kept
	for range 2 {
		fly(x, &k)
		if k.Numbers[0] != apogee || k.Numbers[1] != 0.012 || !math.IsNaN(k.Numbers[2]) || k.Outcome != "landed" || k.Feasible {
			t.Errorf("%+v, want an apogee of %v m, the throat and no time on a tube, not feasible", k, apogee)
		}
		for i, slack := range verdict.Slacks {
			if k.Missed[i] == constraints.Kept(slack) {
				t.Errorf("%s: slack %v, missed %v", b.Limits[i].Metric.Key, slack, k.Missed[i])
			}
		}
		if fly(nil, &k); k.Outcome != Panicked || k.Feasible || !math.IsNaN(k.Numbers[0]) || slices.Contains(k.Missed, true) || len(k.Numbers) != 3 {
			t.Errorf("a flight that breaks: %+v", k)
		}
	}
	heavy, err := Keeper(briefs.Demo(t, briefs.High, "payload.mass=20 kg"), []string{"apogee"})
	if err != nil {
		t.Fatal(err)
	}
	if heavy([]float64{0.15, 0.012, 0.25, 4.8}, &k); k.Outcome == "landed" || k.Feasible || slices.Contains(k.Missed, true) {
		t.Errorf("a rocket that stays on the pad: %+v, want no limit missed by a flight that there was not", k)
	}
}

// TestEdge finds the nearest end of what holds, within a step, either way.
func TestEdge(t *testing.T) {
	for _, row := range []struct {
		why      string
		from, to float64
		holds    func(v float64) bool
		want     float64
		ends     bool
	}{
		{"upwards", 0, 10, func(v float64) bool { return v <= 3.3 }, 3.3, true},
		{"downwards", 0, -10, func(v float64) bool { return v >= -3.3 }, -3.3, true},
		{"all hold", 0, 10, func(float64) bool { return true }, 10, false},
		{"all hold, downwards", 1, -9.7, func(float64) bool { return true }, -9.7, false},
		{"the nearest of two ends", 0, 10, func(v float64) bool { return v <= 3.3 || v >= 5 }, 3.3, true},
		{"before the first stride", 0, 10, func(v float64) bool { return v <= 0.01 }, 0.01, true},
		{"behind the last whole stride", 0, 9.7, func(v float64) bool { return v <= 9.6 }, 9.6, true},
		{"no way to go", 4, 4, func(float64) bool { return true }, 4, false},
	} {
		beyond := false
		got, ends := Edge(row.from, row.to, 0.5, 0.001, func(v float64) bool {
			beyond = beyond || v > max(row.from, row.to) || v < min(row.from, row.to)
			return row.holds(v)
		})
		if ends != row.ends || math.Abs(got-row.want) > 0.001 || !row.holds(got) || beyond {
			t.Errorf("%s: %v, %v, want %v within 0.001, %v; looked beyond: %v", row.why, got, ends, row.want, row.ends, beyond)
		}
	}
}

// TestRobustMissingGoal fails a design of which flights lack the goal.
func TestRobustMissingGoal(t *testing.T) {
	b := briefs.Roomy(t, []string{`apogee         = "highest"`, `tube_time = "highest"`}, "search.robust.draws=60", "search.robust.confidence=0.9")
	p, err := Problem(b)
	if err != nil {
		t.Fatal(err)
	}
	r := optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
	if p.Evaluator()(b.Own(), &r); !r.Failed {
		t.Errorf("%+v, want it failed", r)
	}
	if proof := Proofs(t.Context(), b, []optimize.Design{{X: b.Own(), Result: r}}, 1)[0]; proof.Held {
		t.Error("a design without the goal's figure is held")
	}
}
