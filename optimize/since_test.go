package optimize

import (
	"fmt"
	"slices"
	"testing"
)

// What an island has since an earlier state of it is what was flown in between,
// and what has come to other results: of the archive, of what is kept and of the
// population alone.
func TestSince(t *testing.T) {
	k := keeping(osy(), 60)
	inner := k.Evaluator()
	flown := map[string]bool{}
	k.Evaluator = always(func(x []float64, r *Result) {
		inner(x, r)
		flown[fmt.Sprint(x)] = true
	})
	s := Settings{Seed: 6, Flights: 4000, Islands: 1, Population: 40}
	earlier, err := Epoch(t.Context(), &k.Problem, s, Island{}, 20, 1)
	if err != nil {
		t.Fatal(err)
	}
	clear(flown)
	later, err := Epoch(t.Context(), &k.Problem, s, earlier, 12, 1)
	if err != nil {
		t.Fatal(err)
	}
	named := func(designs []Design) (all []string) {
		for _, d := range designs {
			all = append(all, fmt.Sprint(d.X))
		}
		slices.Sort(all)
		return all
	}
	var axes []axis
	for _, v := range k.Variables {
		axes = append(axes, newAxis(v))
	}
	of := func(rows ...*Rows) (all []string) {
		for _, r := range rows {
			for _, name := range named(r.designs(&k.Problem, axes)) {
				if flown[name] {
					all = append(all, name)
				}
			}
		}
		slices.Sort(all)
		return slices.Compact(all)
	}
	archived, others := later.Since(&k.Problem, &earlier)
	got, want := slices.Compact(named(archived)), of(&later.Archive, &later.Kept)
	if len(want) < 20 || !slices.Equal(got, want) {
		t.Errorf("%d designs are new in the archive and kept, want the %d flown since that are there", len(got), len(want))
	}
	if got, want := named(others), of(&later.Population); len(want) < 20 || !slices.Equal(got, want) {
		t.Errorf("%d designs are new in the population, want the %d flown since that are there", len(got), len(want))
	}
	if a, o := later.Since(&k.Problem, &later); len(a)+len(o) > 0 {
		t.Errorf("%d and %d designs since itself, want none", len(a), len(o))
	}
}

// Other results of a design that was there make it news, whichever they are.
func TestSinceOfOtherResults(t *testing.T) {
	k := keeping(osy(), 60)
	earlier, err := Epoch(t.Context(), &k.Problem, Settings{Seed: 6, Flights: 4000, Islands: 1, Population: 40}, Island{}, 20, 1)
	if err != nil {
		t.Fatal(err)
	}
	for why, change := range map[string]func(isl *Island){
		"a goal in the archive":       func(isl *Island) { isl.Archive.Goals[1]++ },
		"a slack in the archive":      func(isl *Island) { isl.Archive.Slack[0]++ },
		"a gene in the archive":       func(isl *Island) { isl.Archive.Genes[0] += 1e-9 },
		"a goal of one that is kept":  func(isl *Island) { isl.Kept.Goals[0]++ },
		"a slack of one that is kept": func(isl *Island) { isl.Kept.Slack[0]++ },
	} {
		changed := earlier.clone(0)
		change(&changed)
		if a, o := changed.Since(&k.Problem, &earlier); len(a) != 1 || len(o) != 0 {
			t.Errorf("%s changed: %d and %d designs are new, want one of the archive", why, len(a), len(o))
		}
	}
	for why, change := range map[string]func(isl *Island){
		"a goal":      func(isl *Island) { isl.Population.Goals[3]++ },
		"a violation": func(isl *Island) { isl.Population.Violations[5]++ },
		"a slack":     func(isl *Island) { isl.Population.Slack[39]++ },
	} {
		changed := earlier.clone(0)
		change(&changed)
		if a, o := changed.Since(&k.Problem, &earlier); len(a) != 0 || len(o) != 1 {
			t.Errorf("%s in the population changed: %d and %d designs are new, want one of the population", why, len(a), len(o))
		}
	}
}

// Check takes an island that has not begun, and one as an epoch leaves it, under
// their index; nothing of an island that has begun is missing.
func TestCheckOfAnIsland(t *testing.T) {
	p := osy().Problem
	s := Settings{Seed: 6, Flights: 500, Islands: 2}
	begun, err := Epoch(t.Context(), &p, s, Island{Index: 1}, 3, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		why   string
		isl   Island
		index int
		want  string
	}{
		{"not begun", Island{Index: 1}, 1, ""},
		{"begun", begun, 1, ""},
		{"not begun, another's", Island{Index: 1}, 0, "index 1, want 0"},
		{"begun, another's", begun, 0, "index 1, want 0"},
		{"flights of no population", Island{Index: 1, Flights: 3}, 1, "0 credits and 0 scales, want 3 and 6"},
		{"a population of no flights", Island{Index: 1, Population: begun.Population}, 1, "0 credits and 0 scales, want 3 and 6"},
		{"credits of no flights", Island{Index: 1, Credits: []float64{1}}, 1, "1 credits and 0 scales, want 3 and 6"},
	} {
		got := ""
		if err := row.isl.Check(&p, s, row.index); err != nil {
			got = err.Error()
		}
		if got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}
