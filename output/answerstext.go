package output

import (
	"fmt"
	"strings"
)

func (p Price) text() string {
	goalUnit, limitUnit, _ := strings.Cut(p.Unit, per)
	goal, limit := display(Quantity{Key: p.Goal, Unit: goalUnit}), display(Quantity{Key: p.Limit, Unit: limitUnit})
	each := limit.unit
	if each == "" {
		each = "unit"
	}
	costs := strings.TrimSpace(three(p.PerUnit*goal.scale/limit.scale) + " " + goal.unit)
	return fmt.Sprintf("%s costs %s of %s per %s", p.Limit, costs, p.Goal, each)
}

func (b Band) text() string {
	s := display(Quantity{Key: b.Quantity, Unit: b.Unit})
	return strings.TrimSpace(fmt.Sprintf("%s %s to %s %s", b.Quantity, s.number(b.From), s.number(b.To), s.unit))
}

// KneeText says what the first row of a front gives of each goal, and the best
// that the front has of it.
func (l Layout) KneeText(rows []Row) string {
	if len(rows) == 0 {
		return ""
	}
	var words []string
	for _, q := range l.Goals {
		s := display(q)
		best := Value{}
		for _, r := range rows {
			if v := l.find(r, q.Key); v.Applies && (!best.Applies || better(q.Sense, v.Number, best.Number)) {
				best = v
			}
		}
		words = append(words, fmt.Sprintf("%s %s (best %s)", q.Key,
			strings.TrimSpace(s.value(l.find(rows[0], q.Key))+" "+s.unit), s.value(best)))
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

// Text returns the answers for a terminal, a line each.
func (a Answers) Text() string {
	var b strings.Builder
	if a.Knee != "" {
		fmt.Fprintf(&b, "design 1: %s\n", a.Knee)
	}
	for _, p := range a.Prices {
		fmt.Fprintf(&b, "there %s\n", p.text())
	}
	if len(a.Bands) > 0 {
		fmt.Fprintf(&b, "each alone may move so far for 1 %% of %s:\n", a.Goal)
		for _, band := range a.Bands {
			fmt.Fprintf(&b, "  %s\n", band.text())
		}
	}
	return b.String()
}
