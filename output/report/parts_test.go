package report

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/internal/sample"
	"ullage/output/table"
)

// A share that is not nothing is not written as nothing, and has a decimal where it is
// small.
func TestPercentOfAShare(t *testing.T) {
	for share, want := range map[float64]string{
		0: "0.0 %", 0.00049: "under 0.1 %", 0.00051: "0.1 %", 0.0944: "9.4 %", 0.0994: "9.9 %", 0.0996: "10 %", 0.5: "50 %", 1: "100 %",
		-0.02: "-2.0 %", -0.5: "-50 %",
	} {
		if got := percent(share); got != want {
			t.Errorf("percent(%v) = %s, want %s", share, got, want)
		}
	}
}

// A word at an end of a drawing is written inward, any other around its place.
func TestAnchorOf(t *testing.T) {
	for x, want := range map[float64]string{0: "start", 99.9: "start", 100: "middle", 380: "middle", sideWidth - 100: "middle", sideWidth - 99.9: "end", sideWidth: "end"} {
		if got := anchorOf(x); got != want {
			t.Errorf("at %v of %v: %s, want %s", x, sideWidth, got, want)
		}
	}
}

// Every axis of a map has from one to six numbers, as far apart as can be.
func TestMarkedBins(t *testing.T) {
	for n, want := range map[int][]int{
		1: {0}, 6: {0, 1, 2, 3, 4, 5}, 7: {0, 2, 4, 6}, 12: {0, 2, 4, 6, 8, 10}, 13: {0, 3, 6, 9, 12}, 25: {0, 5, 10, 15, 20},
	} {
		if got := marked(n); !slices.Equal(got, want) {
			t.Errorf("of %d bins %v are marked, want %v", n, got, want)
		}
	}
}

// Bins hold each value a quantity may have once, in order, each share of the plan; a
// value at an edge counts to the bin that begins there, one beyond the ends to the
// bin at that end.
func TestBinsHoldEveryValue(t *testing.T) {
	for _, row := range []struct {
		source string
		most   int
		words  []string
		shares []float64
	}{
		{`{ from = "6 mm", to = "16 mm" }`, 4, []string{"6.00 to 8.50", "8.50 to 11.0", "11.0 to 13.5", "13.5 to 16.0"}, []float64{0.25, 0.25, 0.25, 0.25}},
		{`{ from = "6 mm", to = "16 mm", step = "2 mm" }`, 25, []string{"6.00", "8.00", "10.0", "12.0", "14.0", "16.0"}, []float64{1. / 6, 1. / 6, 1. / 6, 1. / 6, 1. / 6, 1. / 6}},
		{`{ from = "6 mm", to = "16 mm", step = "2 mm" }`, 6, []string{"6.00", "8.00", "10.0", "12.0", "14.0", "16.0"}, []float64{1. / 6, 1. / 6, 1. / 6, 1. / 6, 1. / 6, 1. / 6}},
		{`{ from = "6 mm", to = "16 mm", step = "2 mm" }`, 4, []string{"6.00", "8.00 to 10.0", "12.0", "14.0 to 16.0"}, []float64{1. / 6, 2. / 6, 1. / 6, 2. / 6}},
		{`{ choices = ["16 mm", "6 mm", "9 mm"] }`, 25, []string{"6.00", "9.00", "16.0"}, []float64{1. / 3, 1. / 3, 1. / 3}},
		// A step so fine counts as none: 16 384 values are the most that are listed.
		{`{ from = "6 mm", to = "16 mm", step = "0.0001 mm" }`, 2, []string{"6.00 to 11.0", "11.0 to 16.0"}, []float64{0.5, 0.5}},
	} {
		src := strings.Replace(string(sample.Brief("").Source), `{ from = "6 mm", to = "16 mm" }`, row.source, 1)
		b, err := brief.Parse("plan.toml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		problem, err := study.Problem(b.OnceEach())
		if err != nil {
			t.Fatal(err)
		}
		at := slices.IndexFunc(b.Vary, func(v brief.Vary) bool { return v.Key == "chamber.throat" })
		bins := newBins(&b.Vary[at], problem.Variables[at], row.most)
		if !slices.Equal(bins.Words, row.words) || bins.Unit != "mm" {
			t.Errorf("%s in %d: %q %s, want %q mm", row.source, row.most, bins.Words, bins.Unit, row.words)
		}
		if !slices.EqualFunc(bins.shares, row.shares, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }) {
			t.Errorf("%s in %d: shares %v, want %v", row.source, row.most, bins.shares, row.shares)
		}
		// Every value falls into the bin whose words span it.
		last := -1
		for v := 0.005; v < 0.0175; v += 0.0005 {
			in := bins.of(v)
			if in < last || in < 0 || in >= len(bins.Words) {
				t.Fatalf("%s in %d: %v falls into bin %d, after %d", row.source, row.most, v, in, last)
			}
			last = in
		}
		if bins.of(0) != 0 || last != len(bins.Words)-1 {
			t.Errorf("%s in %d: the ends fall into %d and %d", row.source, row.most, bins.of(0), last)
		}
		for i, edge := range bins.edges {
			if bins.of(edge) != i+1 || bins.of(math.Nextafter(edge, 0)) != i {
				t.Errorf("%s in %d: edge %v falls into %d", row.source, row.most, edge, bins.of(edge))
			}
		}
	}
}

// A cell's share counts its flights and is never more than all; a plane tells most
// where its cells differ most, whatever their flights.
func TestCellsOfAPlane(t *testing.T) {
	p := newCells(0, -1, 3, 2, 1)
	p.Rows, p.Kept = []float64{4, 0, 2}, []int64{1, 0, 3}
	for cell, want := range []float64{0.25, 0, 1} {
		if got, ok := p.share(cell); got != want || ok != (cell != 1) {
			t.Errorf("share of cell %d = %v, %v, want %v", cell, got, ok, want)
		}
	}
	// Of 6 flights, 4 with a share of 1/4 and 2 with 1: the mean is 1/2, of the
	// squares 3/8.
	if got := p.contrast(); math.Abs(got-(3./8-1./4)) > 1e-15 {
		t.Errorf("contrast %v, want 1/8", got)
	}
	if got := (&plane{Rows: []float64{0, 0}, Kept: []int64{0, 0}}).contrast(); got != 0 {
		t.Errorf("contrast of no flights %v, want 0", got)
	}
	p.Missed = [][]int64{{1, 0, 0}, {1, 0, 2}}
	for cell, want := range []int{0, -1, 1} { // the first of several
		if got := p.hardest(cell); got != want {
			t.Errorf("cell %d: reason %d, want %d", cell, got, want)
		}
	}
}

// The cautions of a sweep are for the design that holds most energy: the higher
// pressure, and less water in it.
func TestStrongestOfASweep(t *testing.T) {
	src := strings.Replace(string(sample.Brief("").Source), "[vary]\n", "[vary]\n\"chamber.pressure\" = { from = \"5 bar\", to = \"7.5 bar\" }\n\"chamber.fill\" = { from = 0.2, to = 0.4 }\n", 1)
	b, err := brief.Parse("plan.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	x := (&SweepPage{brief: b}).strongest()
	for i := range b.Vary {
		if want := map[string]float64{"chamber.pressure": 7.5e5, "chamber.fill": 0.2}[b.Vary[i].Key]; want != 0 && math.Abs(x[i]/want-1) > 1e-12 {
			t.Errorf("%s is %v, want %v", b.Vary[i].Key, x[i], want)
		}
	}
}

// A trajectory keeps its first and its last sample, the instants that have a name and
// both sides of a gap; what lies straight between is left out.
func TestThinKeepsWhatMatters(t *testing.T) {
	nan := math.NaN()
	for _, row := range []struct {
		why    string
		values []float64
		must   map[int]bool
		want   []int
	}{
		{"straight", []float64{0, 1, 2, 3, 4}, nil, []int{0, 4}},
		{"a corner", []float64{0, 1, 2, 1, 0}, nil, []int{0, 2, 4}},
		{"an instant", []float64{0, 1, 2, 3, 4}, map[int]bool{3: true}, []int{0, 3, 4}},
		{"an instant at the second", []float64{0, 1, 2, 3, 4}, map[int]bool{1: true}, []int{0, 1, 4}},
		{"a gap", []float64{0, 1, nan, nan, 4}, nil, []int{0, 1, 2, 3, 4}},
		{"nothing but a gap", []float64{nan, nan, nan}, nil, []int{0, 2}},
		{"one", []float64{1}, nil, []int{0}},
		{"two", []float64{1, 2}, nil, []int{0, 1}},
		// Off by more than a quarter of a hundredth of the range of 4, and by less.
		{"a bend", []float64{0, 1, 2.0104, 3, 4}, nil, []int{0, 2, 4}},
		{"hardly a bend", []float64{0, 1, 2.0099, 3, 4}, nil, []int{0, 4}},
	} {
		times := make([]float64, len(row.values))
		for i := range times {
			times[i] = float64(i)
		}
		got := thin(times, [][]float64{row.values}, row.must)
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: kept %v, want %v", row.why, got, row.want)
		}
	}
	// Two samples of one instant, as where a phase ends.
	if got := thin([]float64{0, 1, 1, 2}, [][]float64{{0, 1, 5, 6}}, nil); !slices.Equal(got, []int{0, 1, 2, 3}) {
		t.Errorf("a step: kept %v", got)
	}
}

// The guide ends at the first sample that is as fast, but for its last digits.
func TestReaches(t *testing.T) {
	for _, row := range []struct {
		given float64
		want  int
	}{{2, 2}, {2 + 1e-9, 2}, {2.1, 3}, {0, 0}, {9, -1}, {math.NaN(), -1}} {
		if got := reaches([]float64{0, 1, 2, 3, 2}, row.given); got != row.want {
			t.Errorf("%v is reached at %d, want %d", row.given, got, row.want)
		}
	}
}

// Hypervolume grows barrier by barrier: the flights of all islands, the best of them.
func TestGrowth(t *testing.T) {
	records := []optimize.Record{
		{Barrier: 1, Flights: 10, Hypervolume: 2}, {Barrier: 1, Flights: 11, Hypervolume: 1}, {Barrier: 2, Flights: 20, Hypervolume: 3}, {Barrier: 2, Flights: 22, Hypervolume: 4},
	}
	if g := newGrowth(records, 8); !slices.Equal(g.Flights, []int{21, 42}) || !slices.Equal(g.Share, []float64{25, 50}) {
		t.Errorf("growth %+v", g)
	}
	for _, whole := range []float64{0, -1} {
		if g := newGrowth(records, whole); len(g.Flights)+len(g.Share) > 0 {
			t.Errorf("growth to %v: %+v, want none", whole, g)
		}
	}
}

// What has one value in all designs is said, what is not there in any too; a number
// that one design lacks differs.
func TestConstants(t *testing.T) {
	n := table.Number(math.NaN())
	of := func(name string, values ...table.Number) axis {
		return axis{Name: name, Unit: "m", Values: values, Text: slices.Repeat([]string{"1"}, len(values))}
	}
	got := constants([]axis{of("same", 1, 1), of("other", 1, 2), of("none", n, n), of("one", n, 1), of("last", 1, n), of("nothing")})
	if want := []string{"same 1 m", "none none"}; !slices.Equal(got, want) {
		t.Errorf("constants %q, want %q", got, want)
	}
}

// A bound is drawn with numbers that it lies among, or within half their range of.
func TestNear(t *testing.T) {
	a := axis{Values: []table.Number{10, table.Number(math.NaN()), 20}}
	for bound, want := range map[float64]bool{15: true, 5: true, 4.99: false, 25: true, 25.01: false} {
		if a.near(bound) != want {
			t.Errorf("%v near 10 to 20: %v", bound, !want)
		}
	}
}

// The picture of a path has one scale both ways, and its wind the way it blows.
func TestPlaneView(t *testing.T) {
	f := trajectory{X: []float64{0, -10, -30}, Height: []table.Number{0, 40, 0}}
	for wind, want := range map[float64]string{0: "no wind", 3: "wind 3.00 m/s at 10 m", -3: "wind 3.00 m/s at 10 m"} {
		view := string(planeView(2, &f, wind))
		if !strings.Contains(view, ">"+want+"<") || !strings.Contains(view, "apogee 40.0 m at -10.0 m downwind, down at -30.0 m; "+want) {
			t.Errorf("wind %v: %s", wind, view)
		}
		arrow := map[float64]string{3: "M 16 30 H 56", -3: "M 56 30 H 16"}[wind]
		if (arrow != "") != strings.Contains(view, " 30 H ") || !strings.Contains(view, arrow) {
			t.Errorf("wind %v: no arrow %q in %s", wind, arrow, view)
		}
	}
	upright := trajectory{X: []float64{0, 0, 0}, Height: []table.Number{0, 40, 0}}
	if view := string(planeView(1, &upright, 0)); strings.Contains(view, "NaN") || strings.Contains(view, "Inf") || !strings.Contains(view, "M 260.0 260.0 L 260.0 50.0 L 260.0 260.0") {
		t.Errorf("of a path straight up: %s", view)
	}
	for _, flat := range []trajectory{{}, {X: []float64{0, 1}, Height: []table.Number{0, 0}}} {
		if view := planeView(1, &flat, 0); view != "" {
			t.Errorf("of a path without height: %s", view)
		}
	}
}

// The knee is the first design where it keeps its limits and there is a choice.
func TestKneeIsAChoice(t *testing.T) {
	b, rows := sample.Brief(""), sample.Rows()
	none := rows[0]
	none.Design = 2
	for _, row := range []struct {
		why  string
		rows []study.Row
		want int
	}{
		{"first of two", rows, 0},
		{"alone", rows[:1], -1},
		{"second place", []study.Row{rows[1], rows[0]}, 1},
		{"misses", []study.Row{rows[1], rows[1]}, -1},
		{"another number", []study.Row{none, none}, -1},
	} {
		if got := (&Page{brief: b, rows: row.rows}).knee(); got != row.want {
			t.Errorf("%s: knee %d, want %d", row.why, got, row.want)
		}
	}
}
