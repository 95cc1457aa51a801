package optimize

import (
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ullage/testdata/kept"
	"ullage/testdata/problems"
)

// Whole searches come out as they did when they were last looked at, to the last
// digit: every chance, width and size of the search is in them.
func TestSearchesAreAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for _, c := range keptSearches() {
		c.write(t, &out)
	}
	kept.Same(t, "searches.txt", out.String())
}

type keptSearch struct {
	why string
	Problem
	Settings
}

// keptSearches are of every number of goals, with limits and without, over every
// kind of variable. None evaluates an exponential, which is not the same on every
// processor.
func keptSearches() []keptSearch {
	of := func(why string, k known, s Settings) keptSearch {
		s.Seed = 20
		return keptSearch{why: k.name + why, Problem: k.Problem, Settings: s}
	}
	all := []keptSearch{
		of("", zdt1(), Settings{Flights: 900}),
		of(", two islands", zdt3(), Settings{Flights: 3000, Islands: 2}),
		of(", three islands", osy(), Settings{Flights: 3000, Islands: 3, Population: 40}),
		of(", a hundred kept", keeping(knownOf(problems.SRN()), 100), Settings{Flights: 2500}),
		of(" by steps and choices", stepped(), Settings{Flights: 2100, Islands: 2}),
		of(", plainly", zdt4(), Settings{Flights: 1500, Algorithm: Reference}),
		of(", plainly", dtlz2(3), Settings{Flights: 900, Population: 40, Algorithm: Reference}),
		of(", the smallest population", osy(), Settings{Flights: 300, Islands: 2, Population: 4}),
		of(" of 3", dtlz7(3), Settings{Flights: 2500}),
		of(" of 3, two islands", dtlz2(3), Settings{Flights: 1600, Islands: 2}),
		of(" of 4", dtlz2(4), Settings{Flights: 1200}),
		of(" of 5", knownOf(problems.DTLZ1(5)), Settings{Flights: 700, Islands: 2}),
		{"some fail, all cost four flights", *keptMixed(2), Settings{Seed: 20, Flights: 4000, Islands: 2}},
		{"some fail, one goal", *keptMixed(1), Settings{Seed: 20, Flights: 1500}},
		{"some fail, one goal, how far inside is told, given designs first", *keptInside(), Settings{Seed: 20, Flights: 1500}},
		of(", goes on when it has stalled", knownOf(problems.BNH()), Settings{Flights: 15000, Islands: 1}),
		{"three designs in all", *keptThree(), Settings{Seed: 20, Flights: 30}},
		{"none is feasible, one goal by steps", *keptHopelessSteps(), Settings{Seed: 20, Flights: 500}},
		{"a whole grid, given designs first", *keptGrid(), Settings{Seed: 20, Flights: 5000, Population: 8}},
		{"none is feasible", *keptHopeless(), Settings{Seed: 20, Flights: 700, Islands: 2}},
		{"huddled, then drawn anew", *keptValleys(), Settings{Seed: 20, Flights: 4500}},
	}
	for _, p := range problems.Single() {
		all = append(all, of("", knownOf(p), Settings{Flights: 1200}))
	}
	return append(all, of(", two islands", knownOf(problems.Vessel()), Settings{Flights: 3500, Islands: 2}))
}

// keptMixed has a variable of each kind, a limit, flights that fail.
func keptMixed(goals int) *Problem {
	p := &Problem{
		Variables: []Variable{
			{Name: "free", From: -1, To: 2},
			{Name: "steps", From: 0.04, To: 0.24, Step: 0.005},
			{Name: "choice", Choices: []float64{1, 2, 5, 10}},
			{Name: "kind", Choices: []float64{3, 1, 4, 15, 9, 2}, Unordered: true},
			{Name: "one", From: 7, To: 7},
		},
		Goals: goals, Limits: 1,
		Evaluator: always(func(x []float64, r *Result) {
			near := sq(x[0]-0.7) + sq(10*(x[1]-0.13)) + sq(x[2]-5)/25 + sq(x[3]-4)/100
			r.Goals[0] = near
			if goals > 1 {
				r.Goals[1] = sq(x[0]+0.5) + sq(10*(x[1]-0.2)) + x[2]/10
			}
			r.Violations[0] = max(0, x[0]+5*x[1]-1.3)
			r.Slack = min(0, 1.3-x[0]-5*x[1])
			r.Failed = x[2] == 10 && x[0] > 0
		}),
	}
	if goals > 1 {
		p.Cost = 4
	}
	return p
}

// keptInside is the same of one goal, which tells of every design how far inside
// its limit it is; the designs given have values beyond every kind of variable.
func keptInside() *Problem {
	p := keptMixed(1)
	inner := p.Evaluator()
	p.Distances = true
	p.First = [][]float64{{5, 0.3, 4, 4, 7}, {-3, 0.0623, 1.4, 77, 8}, {0.2, 0.1, 2, 2, 6}, {0.69, 0.1301, 9, 15, 7}}
	p.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		r.Violations[0] = x[0] + 5*x[1] - 1.3
	})
	return p
}

// keptThree has fewer designs than an operator takes.
func keptThree() *Problem {
	return &Problem{
		Variables: []Variable{{Choices: []float64{1, 2, 4}}}, Goals: 2,
		Evaluator: always(func(x []float64, r *Result) { r.Goals[0], r.Goals[1] = x[0], sq(x[0]-3) }),
	}
}

// keptHopelessSteps misses its limit everywhere.
func keptHopelessSteps() *Problem {
	return &Problem{
		Variables: []Variable{{From: 0, To: 40, Step: 1}, {From: 0, To: 1, Step: 0.125}, {Choices: []float64{1, 2, 3, 4}, Unordered: true}}, Goals: 1, Limits: 1, Distances: true,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0], r.Violations[0] = x[0], 1+sq(x[0]-17)+x[1]+sq(x[2]-3)
		}),
	}
}

// keptGrid has forty designs, of which some are given.
func keptGrid() *Problem {
	return &Problem{
		Variables: []Variable{{From: 0, To: 9, Step: 1}, {Choices: []float64{2, 3, 5, 7}}},
		Goals:     2, First: [][]float64{{3, 5}, {11, 4}, {4.4, 2}, {0, 7}, {9, 9}, {5, 5}},
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0], r.Goals[1] = x[0]+x[1], sq(x[0]-6)+x[1]
		}),
	}
}

// keptHopeless misses both limits everywhere and says how far.
func keptHopeless() *Problem {
	return &Problem{
		Variables: slices.Repeat([]Variable{{From: 0, To: 1}}, 3), Goals: 2, Limits: 2, Distances: true,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0], r.Goals[1] = x[0], x[1]
			r.Violations[0], r.Violations[1] = 0.5+sq(x[0]-0.3)+x[2], 1000*(x[1]-0.5+sq(x[2]-0.5))
			r.Failed = x[0] > 0.95
		}),
	}
}

// keptValleys is the problem of a wide valley and a narrow one that is deeper.
func keptValleys() *Problem {
	return &Problem{
		Variables: slices.Repeat([]Variable{{From: -1, To: 1}}, 2), Goals: 1,
		Evaluator: always(func(x []float64, r *Result) {
			r.Goals[0] = min(1+sq(x[0]+0.5)+sq(x[1]+0.5), 100*(sq(x[0]-0.8)+sq(x[1]-0.8)))
		}),
	}
}

func sq(v float64) float64 { return v * v }

// write searches, and writes what each island had at each barrier and a dozen of
// the designs found; the digest is of all that a search could go on from.
func (c keptSearch) write(t *testing.T, out *strings.Builder) {
	var last State
	o, err := Continue(t.Context(), &c.Problem, c.Settings, State{}, Local(&c.Problem, c.Settings, 1), func(st State) error {
		last = st
		return nil
	})
	if err != nil {
		t.Fatalf("%s: %v", c.why, err)
	}
	data, err := last.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(out, "%s\n", c.why)
	for _, r := range o.Records {
		fmt.Fprintf(out, "  barrier %d island %d: %d flights, %d feasible, %d failed, volume %s, best%s\n",
			r.Barrier, r.Island, r.Flights, r.Feasible, r.Failed, exactly(r.Hypervolume), digits(r.Best))
	}
	for i := range last.Islands {
		fmt.Fprintf(out, "  island %d ends: %d generations, credits%s, scales%s, worst%s\n",
			i, last.Islands[i].Generation, digits(last.Islands[i].Credits), digits(last.Islands[i].Scales), digits(last.Islands[i].Worst))
	}
	fmt.Fprintf(out, "  %s after %d flights, %d feasible, %d failed; %d designs, %d kept, volume %s below%s; digest %x; %s\n",
		o.Stop, o.Flights, o.Feasible, o.Failed, len(o.Archive), len(o.Kept), exactly(o.Hypervolume), digits(o.Reference),
		sha256.Sum224(data), o.Advice)
	for _, d := range Choose(o.Archive, 5) {
		fmt.Fprintf(out, "   %s →%s; misses%s, slack %s\n", digits(d.X), digits(d.Goals), digits(d.Violations), exactly(d.Slack))
	}
}

func exactly(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func digits(values []float64) string {
	var out strings.Builder
	for _, v := range values {
		out.WriteString(" " + exactly(v))
	}
	return out.String()
}

// An archive that is full is thinned to the designs that it was thinned to.
func TestThinnedArchiveIsAsKept(t *testing.T) {
	if !kept.LastDigits(t) {
		return
	}
	var out strings.Builder
	for m := 3; m <= mostGoals; m++ {
		q := newArchive(m, mostArchived, Rows{}, nil)
		var s source
		s.begin(20, purposeFirst, m, 0)
		for k := range 3 * mostArchived {
			goals := make([]float64, m)
			sum := 0.0
			for i := range goals {
				u := float64(s.Uint64()>>11) / (1 << 53)
				goals[i] = u * u * float64(i+1)
				sum += goals[i] * goals[i]
			}
			for i := range goals {
				goals[i] *= float64(i+1) / math.Sqrt(sum)
			}
			q.offer([]float64{float64(k)}, goals, float64(k%7), make([]float64, m))
		}
		rows, blocks := q.pack()
		fmt.Fprintf(&out, "%d goals: %d designs in %d blocks of %v\n", m, rows.Len(), len(blocks), blocks)
		sums := make([]float64, m)
		genes := 0.0
		for i, g := range rows.Genes {
			for k := range m {
				sums[k] += rows.Goals[i*m+k]
			}
			genes += g * float64(i)
		}
		fmt.Fprintf(&out, "  goals in all%s, genes by place in all %s\n", digits(sums), exactly(genes))
	}
	kept.Same(t, "thinned.txt", out.String())
}
