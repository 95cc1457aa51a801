package brief

import (
	"fmt"
	"math"
	"slices"
)

// A Sense is the direction of a goal.
type Sense int

// The senses of a goal.
const (
	Highest Sense = iota + 1
	Lowest
	Nearest
)

var senseNames = [...]string{Highest: "highest", Lowest: "lowest", Nearest: "nearest"}

// String returns the sense as in a brief, "highest" for Highest.
func (s Sense) String() string { return senseNames[s] }

// A Goal is a metric to improve.
type Goal struct {
	Metric
	Sense  Sense
	Target float64 // SI; what Nearest aims for
	UpTo   float64 // SI; beyond it nothing is gained. +Inf with Highest, −Inf with Lowest when there is none
	As     Statistic
}

// Minimised returns the goal's value as the search sees it: smaller is better.
func (g *Goal) Minimised(v float64) float64 {
	switch g.Sense {
	case Highest:
		return -min(v, g.UpTo)
	case Lowest:
		return max(v, g.UpTo)
	}
	return math.Abs(v - g.Target)
}

// Natural returns what a goal's minimised value stands for, in SI: the metric
// itself, capped where the goal is, or for Nearest the distance to its target.
func (g *Goal) Natural(minimised float64) float64 {
	if g.Sense == Highest {
		return -minimised
	}
	return minimised
}

// Describe returns the goal in words, in SI: "highest", "highest up to 2 cal",
// "nearest 100 m".
func (g *Goal) Describe() string {
	unit := " " + g.Unit
	if g.Unit == "1" {
		unit = ""
	}
	switch {
	case g.Sense == Nearest:
		return fmt.Sprintf("nearest %g%s", g.Target, unit)
	case !math.IsInf(g.UpTo, 0) && g.Sense == Highest:
		return fmt.Sprintf("highest up to %g%s", g.UpTo, unit)
	case !math.IsInf(g.UpTo, 0):
		return fmt.Sprintf("lowest down to %g%s", g.UpTo, unit)
	}
	return g.Sense.String()
}

// maxGoals is what the search can rank.
const maxGoals = 5

// goals reads [goals].
func (p *parser) goals(b *Brief) {
	entries := p.entries("goals", metricKeys(), aMetric)
	for i, e := range entries {
		if i == maxGoals {
			p.fault(e.node, "goal 6", "at most 5")
		}
		metric, _ := MetricByKey(e.key) // entries has refused all others
		g := Goal{Metric: metric}
		if !p.goal(e.node, &g) {
			continue
		}
		q := g.Quantity
		if q != nil && p.find("vary") != nil && p.find("vary."+q.Key) == nil {
			p.fault(e.node, "never changes", q.Key+" in [vary]")
		}
		if q != nil && p.fixed(q.Key) {
			continue
		}
		b.Goals = append(b.Goals, g)
	}
}

// goal reads one goal and reports whether it could.
func (p *parser) goal(n *node, g *Goal) bool {
	const want = `"highest", "lowest" or { nearest = … }`
	if n.kind == text {
		switch n.text {
		case "highest":
			g.Sense, g.UpTo = Highest, math.Inf(1)
		case "lowest":
			g.Sense, g.UpTo = Lowest, math.Inf(-1)
		default:
			p.fault(n, n.shown(), want)
		}
		return g.Sense != 0
	}
	if n.kind != table || !p.only(n, "highest", "lowest", "nearest", "up_to", "as") {
		if n.kind != table {
			p.fault(n, n.shown(), want)
		}
		return false
	}
	return p.goalTable(n, g)
}

func (p *parser) goalTable(n *node, g *Goal) bool {
	senses := 0
	for s, name := range senseNames {
		c := n.child(name)
		if c == nil || name == "" {
			continue
		}
		senses++
		g.Sense, g.UpTo = Sense(s), math.Inf(1)
		switch {
		case g.Sense == Nearest:
			v, ok := p.reachable(c, g)
			if !ok {
				return false
			}
			g.Target = v
		case c.text != "true" || c.kind != other:
			p.fault(c, c.shown(), "true")
			return false
		case g.Sense == Lowest:
			g.UpTo = math.Inf(-1)
		}
	}
	if senses != 1 {
		p.fault(n, fmt.Sprintf("%d senses", senses), "one of highest, lowest or nearest")
		return false
	}
	if c := n.child("as"); c != nil && !p.statistic(c, &g.As) {
		return false
	}
	c := n.child("up_to")
	if c == nil {
		return true
	}
	if g.Sense == Nearest {
		p.fault(c, "given with nearest", "it with highest or lowest")
		return false
	}
	v, ok := p.reachable(c, g)
	g.UpTo = v
	return ok
}

// reachable reads a value of the goal's metric that some flight may have: beyond
// what it can be, every design would be as good.
func (p *parser) reachable(n *node, g *Goal) (float64, bool) {
	v, ok := p.read(n, p.measureOfMetric(&g.Metric))
	switch q := g.Quantity; {
	case !ok:
	case q != nil && !(v >= q.Min && v <= q.Max):
		p.fault(n, n.text, q.rangeText())
		ok = false
	case q == nil && !g.Gust && (slices.Contains(signed, g.Figure) || slices.Contains(sized, g.Figure)):
	case q == nil && g.Sense == Highest && v <= 0:
		p.fault(n, n.text, "above 0")
		ok = false
	case q == nil && v < 0:
		p.fault(n, n.text, "at least 0")
		ok = false
	}
	return v, ok
}
