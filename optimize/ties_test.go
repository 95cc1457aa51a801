package optimize

import (
	"math"
	"slices"
	"testing"
)

// Where points can be spared alike the first goes, whatever their number of goals:
// a search does not depend on how a loop is written.
func TestTiesGoByPlace(t *testing.T) {
	line := func(n int) (goals []float64) {
		for i := range n {
			goals = append(goals, float64(i), float64(n-1-i))
		}
		return goals
	}
	var tr truncator
	if got := slices.Clone(tr.thin(line(6), 2, count(6), 5)); !slices.Equal(got, []int32{0, 2, 3, 4, 5}) {
		t.Errorf("of six at equal distances %v stay, want all but the first between the ends", got)
	}
	// Corners of a cube's diagonal plane, none better than another, all alike.
	three := []float64{0, 1, 2, 0, 2, 1, 1, 0, 2, 1, 2, 0, 2, 0, 1, 2, 1, 0}
	if got := slices.Clone(tr.thin(three, 3, count(6), 5)); len(got) != 5 || !slices.Contains(got, 5) {
		t.Errorf("of six alike in 3 goals %v stay, want one of the first to go", got)
	}
	// Two pairs as close as each other, among points far off; the best of each goal
	// are kept where there is room for them.
	four := []float64{
		0, 9, 9, 9, 9, 0, 9, 9, 9, 9, 0, 9, 9, 9, 9, 0,
		4, 4, 6, 6, 4.5, 4.5, 5.5, 5.5,
	}
	for keep, want := range map[int][]int32{5: {0, 1, 2, 3, 5}, 4: {0, 1, 2, 3}} {
		if got := slices.Clone(tr.thin(four, 4, count(6), keep)); !slices.Equal(got, want) {
			t.Errorf("keeping %d of six in 4 goals: %v, want %v", keep, got, want)
		}
	}
	if got := tr.thin(four, 4, count(6), 3); len(got) != 3 {
		t.Errorf("%v stay, want 3 where not even the best of each goal have room", got)
	}
	// Of designs that are best in a goal alike the first one stays.
	level := []float64{0, 1, 5, 5, 0, 5, 1, 5, 5, 0, 5, 1, 5, 5, 0, 0, 0, 5, 5, 1}
	if got := slices.Clone(tr.thin(level, 4, count(5), 4)); !slices.Contains(got, 0) {
		t.Errorf("%v stay, want the first of those that are best in the first goal", got)
	}
}

// The row that stands for the best of a goal is the first member that is as good.
func TestBestIsTheFirst(t *testing.T) {
	q := newQuilt(3, 100, Rows{}, nil)
	for i, goals := range [][]float64{{1, 2, 3}, {1, 3, 2}, {2, 1, 3}, {3, 1, 2}, {2, 3, 1}, {3, 2, 1}} {
		q.offer([]float64{float64(i)}, goals, 0, make([]float64, 3))
	}
	if got := q.best(); !slices.Equal(got, []int32{0, 2, 4}) {
		t.Errorf("best of each goal are rows %v, want 0, 2 and 4", got)
	}
}

// Of designs that add as much to what was chosen the first enters.
func TestChooseTiesOfFourGoals(t *testing.T) {
	var archive []Design
	for i := range 4 {
		goals := []float64{1, 1, 1, 1}
		goals[i] = 0
		archive = append(archive, Design{X: []float64{float64(i)}, Result: Result{Goals: goals}})
	}
	if got := Choose(archive, 1); len(got) != 1 || got[0].X[0] != 0 {
		t.Errorf("of four alike Choose takes %v, want the first", got)
	}
	for _, n := range []int{0, -1} {
		if got := Choose(archive, n); got != nil {
			t.Errorf("Choose %d = %v, want nil", n, got)
		}
	}
}

// One in ten of a population leaves, rounded up; of a population in which fewer
// are feasible the least violating too, and none that failed.
func TestHowManyLeave(t *testing.T) {
	p := &Problem{Variables: []Variable{{From: 0, To: 1}}, Goals: 2, Limits: 1}
	for population, want := range map[int]int{4: 1, 10: 1, 11: 2, 40: 4, 41: 5} {
		for feasible := range want + 1 {
			isl := Island{}
			for i := range population {
				isl.Population.Genes = append(isl.Population.Genes, float64(i)/100)
				isl.Population.Goals = append(isl.Population.Goals, float64(i), float64(-i))
				isl.Population.Violations = append(isl.Population.Violations, max(0, float64(i-feasible+1)))
				isl.Population.Slack = append(isl.Population.Slack, 0)
				isl.Population.Failed = append(isl.Population.Failed, false)
			}
			got := migrants(p, Settings{Population: population}, &isl)
			slices.Sort(got)
			if len(got) != want || got[0] != 0 || got[want-1] != want-1 {
				t.Errorf("population of %d, %d feasible: %v leave, want the first %d", population, feasible, got, want)
			}
			isl.Population.Failed[feasible] = true // and all behind it, as populations are in order
			if got := migrants(p, Settings{Population: population}, &isl); len(got) != min(want, feasible) {
				t.Errorf("population of %d, %d feasible, the others failed: %v leave, want %d", population, feasible, got, min(want, feasible))
			}
		}
	}
}

// A grid of 2²⁰ designs is walked, one of more is not, nor one with a quantity
// that is continuous or has more values than can be counted.
func TestCombinations(t *testing.T) {
	of := func(values ...float64) (axes []axis) {
		for _, n := range values {
			axes = append(axes, axis{high: n - 1, whole: true})
		}
		return axes
	}
	for _, row := range []struct {
		axes []axis
		want int
	}{
		{of(1), 1},
		{of(3, 4, 5), 60},
		{of(1024, 1024), 1 << 20},
		{of(1024, 1025), 0},
		{of(1 << 20), 1 << 20},
		{of(1<<20 + 1), 0},
		{of(1<<53, 1<<53), 0},
		{append(of(2), axis{high: 1}), 0},
	} {
		if got := combinations(row.axes); got != row.want {
			t.Errorf("%d axes: %d designs, want %d", len(row.axes), got, row.want)
		}
	}
}

// The largest numbers that an island may count go over the wire; a fingerprint
// that stands there twice, or out of order, is damage.
func TestRimOfTheWire(t *testing.T) {
	isl := Island{Index: 1, Generation: math.MaxInt, Flights: math.MaxInt, Blocks: []int32{math.MaxInt32}, Flown: []uint64{7, 0, 9, 8}, Held: 3}
	data, err := isl.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	var read Island
	if err := read.UnmarshalBinary(data); err != nil || read.Flights != math.MaxInt || read.Generation != math.MaxInt || read.Held != 3 || read.Blocks[0] != math.MaxInt32 {
		t.Errorf("%+v, %v, want what was sent", read, err)
	}
	for why, prints := range map[string][]uint64{"twice": {7, 7}, "out of order": {9, 7}, "none": {0, 7}} {
		fields, err := unseal(islandKind, data)
		if err != nil {
			t.Fatal(err)
		}
		forged := wire(slices.Clone(fields[:len(fields)-4*8]))
		forged.count(len(prints))
		for _, f := range prints {
			forged.word(f)
		}
		if err := new(Island).UnmarshalBinary(seal(islandKind, forged)); err == nil {
			t.Errorf("a fingerprint that is %s is taken", why)
		}
	}
}
