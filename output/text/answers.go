package text

import (
	"fmt"
	"strings"

	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
)

func Price(p runs.Price) string {
	goalUnit, limitUnit, _ := strings.Cut(p.Unit, runs.Per)
	goal, limit := Show(table.Quantity{Key: p.Goal, Unit: goalUnit}), Show(table.Quantity{Key: p.Limit, Unit: limitUnit})
	each := limit.Unit
	if each == "" {
		each = "unit"
	}
	costs := strings.TrimSpace(Three(p.PerUnit*goal.Scale/limit.Scale) + " " + goal.Unit)
	return fmt.Sprintf("%s costs %s of %s per %s", p.Limit, costs, p.Goal, each)
}

func Band(b runs.Band) string {
	s := Show(table.Quantity{Key: b.Quantity, Unit: b.Unit})
	return strings.TrimSpace(fmt.Sprintf("%s %s to %s %s", b.Quantity, s.Number(b.From), s.Number(b.To), s.Unit))
}

// Knee says what the first row of a front gives of each goal, and the best
// that the front has of it.
func Knee(l output.Layout, rows []output.Row) string {
	if len(rows) == 0 {
		return ""
	}
	var words []string
	for _, q := range l.Goals {
		s := Show(q)
		best := table.Value{}
		for _, r := range rows {
			if v := l.Find(r, q.Key); v.Applies && (!best.Applies || better(q.Sense, v.Number, best.Number)) {
				best = v
			}
		}
		words = append(words, fmt.Sprintf("%s %s (best %s)", q.Key,
			strings.TrimSpace(s.Value(l.Find(rows[0], q.Key))+" "+s.Unit), s.Value(best)))
	}
	return strings.Join(words, ", ")
}

// better reports whether a beats b for a goal's sense. Where the goal is a
// target, no number is best by itself: the first stands.
func better(sense string, a, b float64) bool {
	switch {
	case strings.HasPrefix(sense, "highest"):
		return a > b
	case strings.HasPrefix(sense, "lowest"):
		return a < b
	}
	return false
}

// Answers returns the answers for a terminal, a line each.
func Answers(a runs.Answers) string {
	var b strings.Builder
	if a.Knee != "" {
		fmt.Fprintf(&b, "design 1: %s\n", a.Knee)
	}
	for _, p := range a.Prices {
		fmt.Fprintf(&b, "there %s\n", Price(p))
	}
	if len(a.Bands) > 0 {
		fmt.Fprintf(&b, "each alone may move so far for 1 %% of %s:\n", a.Goal)
		for _, band := range a.Bands {
			fmt.Fprintf(&b, "  %s\n", Band(band))
		}
	}
	return b.String()
}
