package wording

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/text"
)

// knee says what the first row of a front of b gives of each goal, and the best
// that the front has of it, each in the goal's own measure: the distance to a
// target, no more than counts, and in a robust search what flights are summed
// up by.
func knee(b *brief.Brief, rows []study.Row) string {
	if len(rows) == 0 {
		return ""
	}
	words := make([]string, len(b.Goals))
	for i := range b.Goals {
		words[i] = goalWords(b, &b.Goals[i], GoalValues(b, i, rows))
	}
	return strings.Join(words, ", ")
}

// goalWords says the first of a goal's values, as GoalColumn shows them, and the
// best.
func goalWords(b *brief.Brief, g *brief.Goal, values []float64) string {
	show := text.Show(g.Key, g.Unit)
	unit := func(number string) string { return strings.TrimSpace(number + " " + show.Unit) }
	target := show.Number(g.Target)
	if summedUp(b, g) {
		if g.Sense == brief.Nearest { // the values are distances
			apart, from := text.Shown{Scale: show.Scale}, brief.Goal{Sense: brief.Lowest}
			return fmt.Sprintf("%s off %s by %s, %s (least %s)", g.Key, unit(target), unit(apart.Value(values[0])), g.As, apart.Value(best(&from, values)))
		}
		return fmt.Sprintf("%s %s %s (best %s)", output.Summed(g), g.Key, unit(show.Value(values[0])), show.Value(best(g, values)))
	}
	first := g.Key + " " + unit(show.Value(values[0]))
	top := show.Value(best(g, values))
	switch {
	case g.Sense == brief.Nearest:
		return fmt.Sprintf("%s for %s (nearest %s)", first, target, top)
	case best(g, values) == g.UpTo:
		return fmt.Sprintf("%s (best %s, all that counts)", first, top)
	}
	return fmt.Sprintf("%s (best %s)", first, top)
}

// best returns the best of a goal's values, of a target the nearest, NaN where
// there is none. What is beyond a goal's cap counts as the cap.
func best(g *brief.Goal, values []float64) float64 {
	values = slices.DeleteFunc(slices.Clone(values), math.IsNaN)
	if len(values) == 0 {
		return math.NaN()
	}
	top := slices.MinFunc(values, func(a, b float64) int { return cmp.Compare(g.Minimised(a), g.Minimised(b)) })
	switch g.Sense {
	case brief.Highest:
		return min(top, g.UpTo)
	case brief.Lowest:
		return max(top, g.UpTo)
	}
	return top
}
