package output

import (
	"math"
	"testing"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
)

// What a file says of chances is taken where it can be so, and is none else.
func TestChanceOf(t *testing.T) {
	nan := math.NaN()
	for _, row := range []struct {
		share, flights float64
		want           constraints.Chance
	}{
		{0.5, 60, constraints.Chance{Met: 30, Flights: 60}},
		{1. / 3, 60, constraints.Chance{Met: 20, Flights: 60}},
		{0, 60, constraints.Chance{Flights: 60}},
		{1, 60, constraints.Chance{Met: 60, Flights: 60}},
		{1, 0, constraints.Chance{}},
		{1, 1e6, constraints.Chance{Met: 1e6, Flights: 1e6}},
		{1, 1e6 + 1, constraints.Chance{}},
		{1, -1, constraints.Chance{}},
		{1.01, 60, constraints.Chance{}},
		{-0.01, 60, constraints.Chance{}},
		{nan, 60, constraints.Chance{}},
		{0.5, nan, constraints.Chance{}},
	} {
		if got := chanceOf(row.share, row.flights); got != row.want {
			t.Errorf("chance of %v of %v = %+v, want %+v", row.share, row.flights, got, row.want)
		}
	}
}

// A goal comes back as the search has it, whatever its sense.
func TestMinimised(t *testing.T) {
	for _, sense := range []brief.Sense{brief.Highest, brief.Lowest, brief.Nearest} {
		g := brief.Goal{Sense: sense}
		if got := g.Natural(minimised(&g, 1.5)); got != 1.5 {
			t.Errorf("sense %v: 1.5 comes back as %v", sense, got)
		}
	}
}

// Each phase and each warning comes back by its name.
func TestNamesComeBack(t *testing.T) {
	for phase := model.TubePhase; phase <= model.CanopyPhase; phase++ {
		if got := phaseOf(phase.String()); got != phase {
			t.Errorf("%v comes back as %v", phase, got)
		}
	}
	if got := phaseOf("another"); got != model.CoastPhase {
		t.Errorf("an unknown phase is %v, want a coast", got)
	}
	all := model.Warnings(0)
	for w := model.Warnings(1); len(w.Keys()) > 0; w <<= 1 {
		if got := warningsOf(w.Keys()); got != w {
			t.Errorf("%v comes back as %v", w.Keys(), got.Keys())
		}
		all |= w
	}
	if got := warningsOf(append(all.Keys(), "another")); got != all {
		t.Errorf("all come back as %v", got.Keys())
	}
}

// Samples of a design are given together, also where a part ends among them, and no
// more than a flight may have.
func TestPathsInParts(t *testing.T) {
	paths := [][]model.Sample{make([]model.Sample, 3), make([]model.Sample, 2)}
	whole := Paths(paths)
	for cut := range 6 {
		var designs, samples []int
		p := pathReader{designs: 2, take: func(design int, path []model.Sample) {
			designs, samples = append(designs, design), append(samples, len(path))
		}}
		if err := p.part(whole.Slice(0, cut)); err != nil {
			t.Fatal(err)
		}
		if err := p.part(whole.Slice(cut, 5)); err != nil {
			t.Fatal(err)
		}
		p.end()
		if len(designs) != 2 || designs[0] != 1 || designs[1] != 2 || samples[0] != 3 || samples[1] != 2 {
			t.Errorf("cut at %d: designs %v of %v samples", cut, designs, samples)
		}
	}
	p := pathReader{designs: 1, take: func(int, []model.Sample) {}}
	if err := p.part(whole); err == nil || err.Error() != "design 2, want 1 to 1" {
		t.Errorf("a design too many: %v", err)
	}
	whole.Columns[0].Values.([]int32)[0] = 0
	if err := p.part(whole); err == nil || err.Error() != "design 0, want 1 to 1" {
		t.Errorf("design 0: %v", err)
	}
	p = pathReader{designs: 1, take: func(int, []model.Sample) {}}
	if err := p.part(Paths([][]model.Sample{make([]model.Sample, 1<<18)})); err != nil {
		t.Errorf("262144 samples: %v", err)
	}
	if err := p.part(Paths([][]model.Sample{make([]model.Sample, 1)})); err == nil || err.Error() != "design 1: more than 262144 samples" {
		t.Errorf("a sample more: %v", err)
	}
}
