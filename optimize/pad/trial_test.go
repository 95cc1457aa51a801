package pad

import (
	"math"
	"slices"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// TestRoundSteps are of 1, 2 or 5 at the first place.
func TestRoundSteps(t *testing.T) {
	for _, row := range []struct{ v, want float64 }{{1, 1}, {1.99, 1}, {2, 2}, {4.9, 2}, {5, 5}, {9.99, 5}, {0.031, 0.02}, {0.0075, 0.005}, {30, 20}} {
		if got := roundStep(row.v); math.Abs(got-row.want) > 1e-12*row.want {
			t.Errorf("roundStep(%v) = %v, want %v", row.v, got, row.want)
		}
	}
}

// TestAround tries what is planned first, then round values that the brief lets
// the quantity have.
func TestAround(t *testing.T) {
	b := briefs.Demo(t, "bottle.toml")
	for _, row := range []struct {
		vary []brief.Vary
		want []float64
	}{
		{[]brief.Vary{{Quantity: brief.MustQuantity("recovery.delay"), From: 3.3, To: 3.6}}, []float64{3.44, 3.3, 3.4, 3.5, 3.6}},
		{[]brief.Vary{{Quantity: brief.MustQuantity("recovery.delay"), Choices: []float64{3.5, 3.2}}}, []float64{3.44, 3.2, 3.3, 3.4, 3.5}},
		{nil, []float64{3.44, 3.2, 3.3, 3.4, 3.5, 3.6}},
	} {
		b.Vary = row.vary
		got := around(b, "recovery.delay", 3.44, 0.1, 2)
		want := row.want
		if !slices.EqualFunc(got, want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
			t.Errorf("vary %+v: %v, want %v", row.vary, got, want)
		}
	}
	b.Vary = nil
	if got := around(b, "recovery.delay", 0.1, 0.1, 2); !slices.EqualFunc(got, []float64{0.1, 0, 0.2, 0.3}, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
		t.Errorf("around 0.1 s: %v, want no timer below 0 and the planned one once", got)
	}
}

// TestWorth compares settings: limits first, then what is given away, then the
// goal.
func TestWorth(t *testing.T) {
	rising := []try{{goal: -9}, {goal: -5}, {given: 1, goal: -20}, {violation: 0.1, goal: -30}, {violation: 0.1, given: 1, goal: -40}, {violation: 0.2, goal: -50}}
	for i := range rising {
		for j := range rising {
			if got, want := compareWorth(rising[i], rising[j]), i-j; (got < 0) != (want < 0) || (got > 0) != (want > 0) {
				t.Errorf("setting %d against %d: %d", i, j, got)
			}
		}
	}
}

// TestGoalsOfATrial: what is built is built, so a trial serves the goals that a
// flight decides, the first before the others, and height where there is none.
func TestGoalsOfATrial(t *testing.T) {
	for _, row := range []struct {
		goals string
		want  []string
	}{
		{"\"payload.mass\" = \"highest\"\ndrift = \"lowest\"\nmargin = \"highest\"\n", []string{"drift", "margin"}},
		{"margin = \"highest\"\n\"payload.mass\" = \"highest\"\n", []string{"margin"}},
		{"\"payload.mass\" = \"highest\"\n", []string{"apogee"}},
	} {
		b := briefs.Parse(t, briefs.Edited(t, "field-day.toml",
			"apogee         = \"highest\"\n", "", "\"payload.mass\" = \"highest\"\n", row.goals, "margin         = { highest = true, up_to = 2.0 }\n", ""))
		c := trial{brief: b}
		c.choose()
		got := []string{c.goal.Key}
		for _, g := range c.others {
			got = append(got, g.Key)
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("goals\n%sare served as %q, want %q", row.goals, got, row.want)
		}
	}
}

// A setting that is worse in the first goal by half a per cent is as good: of those
// the one with most room is taken, the smallest first, then the nearest to the
// plan. Nothing makes up for a limit that is missed, or for a goal given away.
func TestBestOfSettings(t *testing.T) {
	for _, row := range []struct {
		why   string
		tries []try
		want  int
	}{
		{"the highest", []try{{goal: -100}, {goal: -101}}, 1},
		{"more room within half a per cent", []try{{goal: -100, slacks: []float64{0.01}}, {goal: -99.51, slacks: []float64{0.02}}}, 1},
		{"more room, but for more than that", []try{{goal: -100, slacks: []float64{0.01}}, {goal: -99.49, slacks: []float64{0.02}}}, 0},
		{"of a goal below zero too", []try{{goal: 100, slacks: []float64{0.01}}, {goal: 100.49, slacks: []float64{0.02}}, {goal: 100.51, slacks: []float64{0.03}}}, 1},
		{"the second smallest room", []try{{slacks: []float64{0.01, 0.02}}, {slacks: []float64{0.01, 0.03}}}, 1},
		{"the nearest to the plan", []try{{off: 0.3}, {off: 0.2}, {off: 0.4}}, 1},
		{"room before nearness", []try{{off: 0.3, slacks: []float64{0.02}}, {off: 0.2, slacks: []float64{0.01}}}, 0},
		{"no limit missed for height", []try{{goal: -100}, {goal: -200, violation: 0.01}}, 0},
		{"nor for room", []try{{goal: -100}, {goal: -100, violation: 0.01, slacks: []float64{1}}}, 0},
		{"no goal given away for height", []try{{goal: -100}, {goal: -200, given: 1}}, 0},
		{"nor for room", []try{{goal: -100}, {goal: -100, given: 1, slacks: []float64{1}}}, 0},
	} {
		for i := range row.tries {
			row.tries[i].Fill = float64(i)
		}
		if got := bestOf(slices.Clone(row.tries)); got.Fill != float64(row.want) {
			t.Errorf("%s: setting %v, want %d", row.why, got.Fill, row.want)
		}
	}
}

// Another goal may get worse by one per cent, of whatever sign it is.
func TestGivesAway(t *testing.T) {
	for _, row := range []struct {
		goals, planned []float64
		want           bool
	}{
		{[]float64{-99.01}, []float64{-100}, false},
		{[]float64{-98.99}, []float64{-100}, true},
		{[]float64{100.99}, []float64{100}, false},
		{[]float64{101.01}, []float64{100}, true},
		{[]float64{0}, []float64{0}, false},
		{[]float64{-200, -98}, []float64{-100, -100}, true},
		{[]float64{-98, -200}, []float64{-100, -100}, true},
		{[]float64{-200, -200}, []float64{-100, -100}, false},
		{[]float64{-98}, nil, false},
		{nil, []float64{-100}, false},
		{nil, nil, false},
	} {
		if got := givesAway(row.goals, row.planned); got != row.want {
			t.Errorf("%v of %v planned: given away %v, want %v", row.goals, row.planned, got, row.want)
		}
	}
}
