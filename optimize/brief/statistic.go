package brief

import (
	"fmt"
	"regexp"
	"strconv"
)

// A Statistic is how a robust search sums up what many flights are worth to a
// goal. The zero Statistic is their mean.
type Statistic struct {
	Tenth    bool // what nine flights in ten reach or better
	Best, Of int  // the mean of the best so many of so many flights of one day; 0: of all
}

// String returns the statistic as in a brief: "mean", "p10", "best 2 of 3".
func (s Statistic) String() string {
	switch {
	case s.Tenth:
		return "p10"
	case s.Of > 0:
		return fmt.Sprintf("best %d of %d", s.Best, s.Of)
	}
	return "mean"
}

// mostOf is the most flights of one day that a goal may count.
const mostOf = 10

var bestPattern = regexp.MustCompile(`^best ([1-9]\d?) of ([1-9]\d?)$`)

// statistic reads how a goal is summed up and reports whether it could.
func (p *parser) statistic(n *node, s *Statistic) bool {
	m := bestPattern.FindStringSubmatch(n.text)
	switch {
	case n.kind == text && n.text == "mean":
	case n.kind == text && n.text == "p10":
		s.Tenth = true
	case n.kind == text && m != nil:
		s.Best, _ = strconv.Atoi(m[1])
		s.Of, _ = strconv.Atoi(m[2])
		if s.Best > s.Of || s.Of > mostOf {
			p.fault(n, n.shown(), fmt.Sprintf("no more flights than there are, and at most %d", mostOf))
			return false
		}
	default:
		p.fault(n, n.shown(), `"mean", "p10" or such as "best 2 of 3"`)
		return false
	}
	if p.find(robustTable) == nil {
		p.fault(n, "the search is not robust", robustTable)
	}
	return true
}
