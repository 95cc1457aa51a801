package brief_test

import (
	"math"
	"testing"

	"ullage/optimize/brief"
)

// The search minimises: what is highest counts negative, up to where nothing is
// gained, what is lowest as it is, down to there, and what is nearest by its distance
// on either side. What it came to is told as it is.
func TestGoalValues(t *testing.T) {
	none := math.Inf(1)
	for _, c := range []struct {
		why                string
		goal               brief.Goal
		value, min, stands float64
	}{
		{"highest", brief.Goal{Sense: brief.Highest, UpTo: none}, 7, -7, 7},
		{"highest, below its cap", brief.Goal{Sense: brief.Highest, UpTo: 8}, 7, -7, 7},
		{"highest, above its cap", brief.Goal{Sense: brief.Highest, UpTo: 6}, 7, -6, 6},
		{"lowest", brief.Goal{Sense: brief.Lowest, UpTo: -none}, 7, 7, 7},
		{"lowest, above its floor", brief.Goal{Sense: brief.Lowest, UpTo: 6}, 7, 7, 7},
		{"lowest, below its floor", brief.Goal{Sense: brief.Lowest, UpTo: 8}, 7, 8, 8},
		{"nearest, too much", brief.Goal{Sense: brief.Nearest, Target: 4}, 7, 3, 3},
		{"nearest, too little", brief.Goal{Sense: brief.Nearest, Target: 9}, 7, 2, 2},
	} {
		got := c.goal.Minimised(c.value)
		if got != c.min || c.goal.Natural(got) != c.stands {
			t.Errorf("%s: %v is %v for the search and stands for %v, want %v and %v", c.why, c.value, got, c.goal.Natural(got), c.min, c.stands)
		}
	}
}

// A goal is read with its sense, its target and its cap, whatever the order of its
// keys; what it leaves out is no cap.
func TestGoalsRead(t *testing.T) {
	none := math.Inf(1)
	for text, want := range map[string]brief.Goal{
		`"highest"`:                          {Sense: brief.Highest, UpTo: none},
		`"lowest"`:                           {Sense: brief.Lowest, UpTo: -none},
		`{ highest = true }`:                 {Sense: brief.Highest, UpTo: none},
		`{ lowest = true }`:                  {Sense: brief.Lowest, UpTo: -none},
		`{ nearest = "90 m" }`:               {Sense: brief.Nearest, Target: 90, UpTo: none},
		`{ up_to = "95 m", highest = true }`: {Sense: brief.Highest, UpTo: 95},
		`{ lowest = true, up_to = "0 m" }`:   {Sense: brief.Lowest, UpTo: 0},
	} {
		b, err := brief.Parse("x.toml", edited(t, "bottle.toml", `apogee = "highest"`, "apogee = "+text))
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if g := b.Goals[0]; g.Sense != want.Sense || g.Target != want.Target || g.UpTo != want.UpTo {
			t.Errorf("%s: %v, target %v, up to %v; want %v, %v, %v", text, g.Sense, g.Target, g.UpTo, want.Sense, want.Target, want.UpTo)
		}
	}
}
