package output

import (
	"fmt"
	"strings"
)

// Answers is what a builder asks of the front's first design, as run.json keeps
// it and the terminal says it.
type Answers struct {
	Knee    string  `json:"knee,omitempty"`    // in words
	Prices  []Price `json:"prices,omitempty"`  // of the limits that hold the design back
	Bands   []Band  `json:"bands,omitempty"`   // within 1 % of the first goal
	Hardest string  `json:"hardest,omitempty"` // limit that the nearest designs miss most often, where none meets all
}

// A Price is by how much the first goal would improve for each unit by which a
// limit gave way.
type Price struct {
	Limit   string  `json:"limit"`
	Goal    string  `json:"goal"`
	PerUnit float64 `json:"per_unit"`
	Unit    string  `json:"unit"` // "m per m/s2"

	text string
}

// A Band is the range of a quantity that costs at most 1 % of the first goal.
type Band struct {
	Quantity string  `json:"quantity"` // column name
	From     float64 `json:"from"`
	To       float64 `json:"to"`

	text string
}

// NewPrice states a price given in SI.
func NewPrice(limit, goal Quantity, perUnit float64) Price {
	l, g := display(limit), display(goal)
	each := l.unit
	if each == "" {
		each = "unit"
	}
	return Price{
		Limit: limit.Key, Goal: goal.Key,
		PerUnit: written(perUnit, goal.Unit) / written(1, limit.Unit),
		Unit:    writtenUnit(goal.Unit) + " per " + writtenUnit(limit.Unit),
		text: strings.TrimSpace(fmt.Sprintf("%s costs %s %s", limit.Key, three(perUnit*g.scale/l.scale), g.unit)) +
			" of " + goal.Key + " per " + each,
	}
}

// NewBand states a band given in SI.
func NewBand(q Quantity, from, to float64) Band {
	s := display(q)
	return Band{
		Quantity: ColumnName(q.Key, q.Unit), From: written(from, q.Unit), To: written(to, q.Unit),
		text: strings.TrimSpace(fmt.Sprintf("%s %s to %s %s", q.Key, s.number(from), s.number(to), s.unit)),
	}
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
		fmt.Fprintf(&b, "there %s\n", p.text)
	}
	if len(a.Bands) > 0 {
		b.WriteString("each alone may move so far for 1 % of the first goal:\n")
		for _, band := range a.Bands {
			fmt.Fprintf(&b, "  %s\n", band.text)
		}
	}
	return b.String()
}
