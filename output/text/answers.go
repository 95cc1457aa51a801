package text

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
)

// Record returns the answers about a front of b, with the doubts of its first
// row, as run.json keeps them; a may be nil.
func Record(b *brief.Brief, a *answers.Answers, rows []study.Row, doubts []answers.Doubt) *runs.Answers {
	switch {
	case a == nil:
		return nil
	case a.Hardest != nil:
		return &runs.Answers{Hardest: Hardest(*a.Hardest)}
	}
	goal := &b.Goals[0]
	r := &runs.Answers{Goal: goal.Key, Knee: Knee(b, rows), Doubts: Doubts(b, doubts)}
	for _, p := range a.Prices {
		r.Prices = append(r.Prices, runs.Price{
			Limit: p.Limit.Metric.Key, Goal: goal.Key,
			PerUnit: table.Written(p.PerUnit, goal.Unit) / table.Written(1, p.Limit.Unit),
			Unit:    table.Unit(goal.Unit) + " per " + table.Unit(p.Limit.Unit),
		})
	}
	for _, band := range a.Bands {
		r.Bands = append(r.Bands, runs.Band{
			Quantity: band.Key, Unit: table.Unit(band.Unit),
			From: table.Written(band.From.Value, band.Unit), FromBy: band.From.By,
			To: table.Written(band.To.Value, band.Unit), ToBy: band.To.By,
		})
	}
	return r
}

// Hardest says which limit the nearest designs miss most often.
func Hardest(h answers.Hardest) string {
	if h.Limit == nil {
		return "none could be flown to its end"
	}
	return fmt.Sprintf("the hardest is %s: %d of the %d nearest designs miss it", h.Limit.Metric.Key, h.Missed, h.Of)
}

// Prices says what limits cost the first goal, a line each, of those whose limit
// and goal there are.
func Prices(prices []runs.Price) []string {
	var lines []string
	for _, p := range prices {
		goal, known := brief.MetricByKey(p.Goal)
		limit, limited := brief.MetricByKey(p.Limit)
		if !known || !limited {
			continue
		}
		of, per := Show(goal.Key, table.Unit(goal.Unit)), Show(limit.Key, table.Unit(limit.Unit))
		each := per.Unit
		if each == "" {
			each = "unit"
		}
		costs := strings.TrimSpace(Three(p.PerUnit*of.Scale/per.Scale) + " " + of.Unit)
		lines = append(lines, fmt.Sprintf("%s costs %s of %s per %s", limit.Key, costs, goal.Key, each))
	}
	return lines
}

// Bands says how far quantities may move, one an entry, of those that there are.
func Bands(bands []runs.Band) []string {
	var lines []string
	for _, band := range bands {
		if q := brief.QuantityByKey(band.Quantity); q != nil {
			s := Show(q.Key, table.Unit(q.Unit))
			line := strings.TrimSpace(fmt.Sprintf("%s %s to %s %s", q.Key, s.Number(band.From), s.Number(band.To), s.Unit))
			lines = append(lines, line+stoppedBy(Plain(band.FromBy, TitleLength), Plain(band.ToBy, TitleLength)))
		}
	}
	return lines
}

// stoppedBy says which limits or goal end a band; nothing where only its range
// does.
func stoppedBy(below, above string) string {
	switch {
	case below == "" && above == "":
		return ""
	case below == above:
		return ", stopped by " + below
	case above == "":
		return ", below by " + below
	case below == "":
		return ", above by " + above
	}
	return ", stopped by " + below + " and " + above
}

// Knee says what the first row of a front of b gives of each goal, and the best
// that the front has of it, each in the goal's own measure: the distance to a
// target, no more than counts, and in a robust search what flights are summed
// up by.
func Knee(b *brief.Brief, rows []study.Row) string {
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
	show := Show(g.Key, g.Unit)
	unit := func(number string) string { return strings.TrimSpace(number + " " + show.Unit) }
	target := show.Number(g.Target)
	if summedUp(b, g) {
		if g.Sense == brief.Nearest { // the values are distances
			apart, from := Shown{Scale: show.Scale}, brief.Goal{Sense: brief.Lowest}
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

// Answers returns the answers for a terminal, a line each.
func Answers(a *runs.Answers) string {
	var b strings.Builder
	if a.Knee != "" {
		b.WriteString(Folded("", "design 1: "+Plain(a.Knee, MessageLength)))
	}
	for _, line := range a.Doubts {
		b.WriteString(Folded("  ", Plain(line, MessageLength)))
	}
	for _, line := range Prices(a.Prices) {
		fmt.Fprintf(&b, "there %s\n", line)
	}
	if bands := Bands(a.Bands); len(bands) > 0 {
		fmt.Fprintf(&b, "each alone may move so far within the limits and 1 %% of %s:\n", Plain(a.Goal, TitleLength))
		for _, line := range bands {
			fmt.Fprintf(&b, "  %s\n", line)
		}
	}
	return b.String()
}
