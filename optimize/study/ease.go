package study

import "math"

// easeScale is the scaled slack over which a limit's weight falls by a factor
// e. Ours.
const easeScale = 0.05

// An ease is how far a design is from its limits, for ordering designs that
// are equal in their goals: a soft minimum of the scaled slacks. The smallest
// counts most, but one that is the same in all of them, as an acceleration that
// binds whatever the timer does, hides no other. Where a limit is missed it is
// the worst slack.
type ease struct{ sum, least float64 }

func newEase() ease { return ease{least: math.Inf(1)} }

func (e *ease) add(scaled float64) {
	e.sum += math.Exp2(-scaled / easeScale * math.Log2E) // Exp differs between processors
	e.least = min(e.least, scaled)
}

func (e *ease) value() float64 {
	if e.least < 0 || math.IsInf(e.least, 1) {
		return e.least
	}
	return -easeScale * math.Log(e.sum)
}
