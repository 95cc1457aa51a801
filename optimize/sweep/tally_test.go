package sweep_test

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"ullage/optimize"
	"ullage/optimize/sweep"
)

// bowl has two goals, one limit, ties between designs (the third variable only
// changes the slack), and designs that fail in every way there is.
func bowl(limit float64) *optimize.Problem {
	p := &optimize.Problem{Goals: 2, Limits: 1, Variables: []optimize.Variable{
		{Name: "x", From: 0, To: 40, Step: 1}, {Name: "y", From: 0, To: 40, Step: 1}, {Name: "z", From: 0, To: 2, Step: 1},
	}}
	p.Evaluator = func() func(x []float64, r *optimize.Result) {
		return func(x []float64, r *optimize.Result) {
			switch {
			case x[0] == 7 && x[1] == 0:
				panic("a flight that panics")
			case x[0] == 7 && x[1] == 1:
				r.Goals[0] = math.NaN()
				return
			case x[0] == 7 && x[1] == 2:
				r.Failed = true
				return
			}
			r.Goals[0] = (x[0]-10)*(x[0]-10) + (x[1]-20)*(x[1]-20)
			r.Goals[1] = (x[0]-30)*(x[0]-30) + (x[1]-25)*(x[1]-25)
			r.Slack = x[0] - limit + math.Abs(x[2]-1)/10
			r.Violations[0] = max(0, limit-x[0])
		}
	}
	return p
}

func tally(t *testing.T, p *optimize.Problem, round int64, workers int) sweep.Tally {
	t.Helper()
	plan, err := sweep.Grid(p.Variables)
	if err != nil {
		t.Fatal(err)
	}
	var all sweep.Tally
	for all.Next < plan.Size {
		if !all.Advance(t.Context(), p, plan, min(all.Next+round, plan.Size), workers) {
			t.Fatal("Advance ended before its end")
		}
	}
	return all
}

func TestTallyIsTheFrontOfTheGrid(t *testing.T) {
	p := bowl(15)
	got := tally(t, p, 1000, 1)
	if got.Failed != 9 || got.Feasible != 26*41*3 || !slices.Equal(got.Missed, []int64{15*41*3 - 9}) {
		t.Errorf("%d failed, %d feasible, %d missed, want 9, %d, %d", got.Failed, got.Feasible, got.Missed, 26*41*3, 15*41*3-9)
	}
	if !slices.Equal(got.Worst, []float64{30*30 + 20*20, 15*15 + 25*25}) {
		t.Errorf("worst goals %v, want those of (40, 0) and (15, 0)", got.Worst)
	}
	if got.Nearest != nil {
		t.Errorf("nearest %v, want none where designs are feasible", got.Nearest)
	}

	// The plain way: all feasible designs against all.
	plan, _ := sweep.Grid(p.Variables)
	fly := p.Guarded()
	r := &optimize.Result{Goals: make([]float64, p.Goals), Violations: make([]float64, p.Limits)}
	var all []sweep.Member
	for i, x := range list(plan, 3) {
		if fly(x, r); !r.Failed && r.Violations[0] == 0 {
			all = append(all, sweep.Member{Number: int64(i), Goals: slices.Clone(r.Goals), Slack: r.Slack})
		}
	}
	var want []sweep.Member
	for _, m := range all {
		if !slices.ContainsFunc(all, func(o sweep.Member) bool { return beats(o, m) }) {
			want = append(want, m)
		}
	}
	slices.SortFunc(want, func(a, b sweep.Member) int { return slices.Compare(a.Goals, b.Goals) })
	if len(want) < 10 || !reflect.DeepEqual(got.Front, want) {
		t.Errorf("front = %v, want %v", got.Front, want)
	}
}

func beats(o, m sweep.Member) bool {
	if slices.Equal(o.Goals, m.Goals) {
		return o.Slack > m.Slack || o.Slack == m.Slack && o.Number < m.Number
	}
	return o.Goals[0] <= m.Goals[0] && o.Goals[1] <= m.Goals[1]
}

func TestTallyDependsOnNothingElse(t *testing.T) {
	for _, limit := range []float64{15, 60} { // 60: no design is feasible
		want := tally(t, bowl(limit), 1<<40, 1)
		if limit == 60 && (len(want.Nearest) != 20 || want.Nearest[0].Number != 40*41*3) {
			t.Errorf("nearest = %v, want 20 from (40, 0, 0) on", want.Nearest)
		}
		for _, round := range []int64{100, 999, 1 << 40} {
			for _, workers := range []int{1, 2, 5} {
				if got := tally(t, bowl(limit), round, workers); !reflect.DeepEqual(got, want) {
					t.Errorf("limit %v, %d at a time, %d workers: %v, want %v", limit, round, workers, got, want)
				}
			}
		}
	}
}

// TestUnsoundResultsFail holds that no evaluation that went wrong is counted as
// a design, or stops the sweep.
func TestUnsoundResultsFail(t *testing.T) {
	for name, spoil := range map[string]func(r *optimize.Result){
		"a goal that is no number":    func(r *optimize.Result) { r.Goals[1] = math.NaN() },
		"an infinite violation":       func(r *optimize.Result) { r.Violations[0] = math.Inf(1) },
		"a violation below 0":         func(r *optimize.Result) { r.Violations[0] = -1 },
		"a slack that is no number":   func(r *optimize.Result) { r.Slack = math.NaN() },
		"a violation too many":        func(r *optimize.Result) { r.Violations = append(r.Violations, 1) },
		"a goal too few":              func(r *optimize.Result) { r.Goals = r.Goals[:1] },
		"a panic after half a result": func(r *optimize.Result) { r.Goals[0] = 1; panic("spoilt") },
	} {
		p := bowl(15)
		p.Evaluator = func() func([]float64, *optimize.Result) {
			return func(_ []float64, r *optimize.Result) { spoil(r) }
		}
		got := tally(t, p, 1000, 2)
		if got.Failed != 41*41*3 || got.Feasible != 0 || got.Missed[0] != 0 || len(got.Front) > 0 {
			t.Errorf("%s: %d failed, %d feasible, %d missed, want all %d failed", name, got.Failed, got.Feasible, got.Missed, 41*41*3)
		}
	}
}

func TestTallyStopsWhole(t *testing.T) {
	p := bowl(15)
	plan, _ := sweep.Grid(p.Variables)
	var all sweep.Tally
	all.Advance(t.Context(), p, plan, 500, 2)
	before := fmt.Sprint(all)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if all.Advance(ctx, p, plan, plan.Size, 2) || fmt.Sprint(all) != before {
		t.Errorf("after an interrupt %v, want %v and false", all, before)
	}
}

func TestEachCallsOnce(t *testing.T) {
	for _, workers := range []int{1, 3} {
		seen := make([]int32, 1000)
		if !sweep.Each(t.Context(), 10, 1000, workers, func() func(int64) {
			last := int64(-1)
			return func(i int64) {
				seen[i]++
				if i <= last {
					t.Errorf("%d after %d, want rising", i, last)
				}
				last = i
			}
		}) {
			t.Error("Each reports an interrupt, want none")
		}
		for i, n := range seen {
			if want := int32(1); i >= 10 && n != want || i < 10 && n != 0 {
				t.Errorf("%d workers: %d was called %d times", workers, i, n)
			}
		}
	}
}

// TestCheckedTally holds that what no tally can be is found, whatever part of it is
// wrong, and that none that was made is refused.
func TestCheckedTally(t *testing.T) {
	p := bowl(5)
	plan, err := sweep.Grid(p.Variables)
	if err != nil {
		t.Fatal(err)
	}
	const to = 1200
	whole := func() *sweep.Tally {
		tally := &sweep.Tally{}
		if !tally.Advance(t.Context(), p, plan, to, 2) {
			t.Fatal("ended early")
		}
		return tally
	}
	if tally := whole(); tally.Check(p, 0, to) != nil || tally.Feasible == 0 || tally.Failed == 0 || len(tally.Front) < 2 {
		t.Fatalf("%+v: %v; want a sound one with designs of each kind", tally, tally.Check(p, 0, to))
	}
	if none := (&sweep.Tally{Missed: []int64{0}}).Check(p, 0, 0); none != nil {
		t.Errorf("of no designs: %v", none)
	}
	for why, spoil := range map[string]func(t *sweep.Tally){
		"an end that is not its own":       func(t *sweep.Tally) { t.Next-- },
		"fewer than no designs feasible":   func(t *sweep.Tally) { t.Feasible, t.Worst, t.Front = -1, nil, nil },
		"fewer than no designs failed":     func(t *sweep.Tally) { t.Failed = -1 },
		"more feasible than there are":     func(t *sweep.Tally) { t.Feasible = to - t.Failed + 1 },
		"a limit too few":                  func(t *sweep.Tally) { t.Missed = nil },
		"a worst of too few goals":         func(t *sweep.Tally) { t.Worst = t.Worst[:1] },
		"no worst of feasible designs":     func(t *sweep.Tally) { t.Worst = nil },
		"a worst of no feasible designs":   func(t *sweep.Tally) { t.Feasible, t.Front = 0, nil },
		"a front of more than feasible":    func(t *sweep.Tally) { t.Feasible = int64(len(t.Front)) - 1 },
		"more near ones than are kept":     func(t *sweep.Tally) { t.Nearest = slices.Repeat(t.Front[:1], 21) },
		"a member before the first design": func(t *sweep.Tally) { t.Front[0].Number = -1 },
		"a member behind the last":         func(t *sweep.Tally) { t.Front[0].Number = to },
		"a member of too few goals":        func(t *sweep.Tally) { t.Front[1].Goals = t.Front[1].Goals[:1] },
		"a near one of other designs":      func(t *sweep.Tally) { t.Nearest = []sweep.Member{{Number: to, Goals: []float64{1, 2}}} },
		"fewer than none miss a limit":     func(t *sweep.Tally) { t.Missed[0] = -1 },
		"more than all miss a limit":       func(t *sweep.Tally) { t.Missed[0] = to + 1 },
	} {
		tally := whole()
		spoil(tally)
		if tally.Check(p, 0, to) == nil {
			t.Errorf("%s: taken for a tally", why)
		}
	}
}

// A tally at the rim of what there can be is one: every design feasible, or every
// one misses the limit, all of the front, the first and the last a member.
func TestCheckedToTheRim(t *testing.T) {
	for _, c := range []struct {
		why      string
		limit    float64
		from, to int64
		want     func(t *sweep.Tally) bool
	}{
		{"one design, and it is the front", 0, 0, 1, func(t *sweep.Tally) bool { return t.Feasible == 1 && len(t.Front) == 1 && t.Front[0].Number == 0 }},
		{"all are feasible", 0, 0, 200, func(t *sweep.Tally) bool { return t.Feasible == 200 }},
		{"all miss the limit, the last by least", 60, 0, 124, func(t *sweep.Tally) bool {
			return t.Missed[0] == 124 && len(t.Nearest) == 20 && slices.ContainsFunc(t.Nearest, func(m sweep.Member) bool { return m.Number == 123 })
		}},
		{"it begins behind others", 0, 500, 501, func(t *sweep.Tally) bool { return len(t.Front) == 1 && t.Front[0].Number == 500 }},
		{"some fail, the others are feasible", 0, 861, 870, func(t *sweep.Tally) bool { return t.Failed == 9 && t.Feasible == 0 }},
	} {
		p := bowl(c.limit)
		plan, err := sweep.Grid(p.Variables)
		if err != nil {
			t.Fatal(err)
		}
		all := sweep.Tally{Next: c.from, Missed: []int64{0}}
		if !all.Advance(t.Context(), p, plan, c.to, 1) || !c.want(&all) {
			t.Fatalf("%s: %+v", c.why, all)
		}
		if err := all.Check(p, c.from, c.to); err != nil {
			t.Errorf("%s: %v", c.why, err)
		}
		if (&sweep.Tally{Next: c.from - 1, Missed: []int64{0}}).Check(p, c.from, c.from-1) == nil {
			t.Error("a tally of fewer than no designs is taken for one")
		}
	}
}
