package constraints

import "math"

// A Limit holds one number of a flight or of a design between two bounds, both
// of which belong to what is allowed.
type Limit struct {
	Key     string  // as in the brief: "landing_speed", "chamber.pressure"
	AtLeast float64 // SI unit of the number; −Inf when there is no lower bound
	AtMost  float64 // the same; +Inf when there is no upper bound
	Size    bool    // the limit acts on the size of the value, not its sign
}

// Slack returns the distance from the number v to the nearer bound, in the
// limit's unit: positive inside, 0 on the bound, negative outside, +Inf where
// there is no bound.
func (l Limit) Slack(v float64) float64 {
	if l.Size {
		v = math.Abs(v)
	}
	return min(v-l.AtLeast, l.AtMost-v)
}

// Violation returns by how much the number v misses the limit, in the limit's
// unit; 0 when it is met.
func (l Limit) Violation(v float64) float64 { return max(0, -l.Slack(v)) }

// Missing returns the violation, in the limit's unit, of a flight that does not
// have the number at all: as bad as missing the larger bound by its own size.
func (l Limit) Missing() float64 { return l.scale() }

// Scaled returns a slack, given in the limit's unit, as a share of the size of
// its larger bound, so that slacks of different limits compare. Where that is 0
// the slack is returned as it is.
func (l Limit) Scaled(slack float64) float64 { return slack / l.scale() }

// Binding reports whether a slack, given in the limit's unit, is at most 1 % of
// the size of the larger bound to either side of 0.
func (l Limit) Binding(slack float64) bool { return math.Abs(slack) <= 0.01*l.scale() }

func (l Limit) scale() float64 {
	s := 0.0
	for _, bound := range []float64{l.AtLeast, l.AtMost} {
		if !math.IsInf(bound, 0) {
			s = max(s, math.Abs(bound))
		}
	}
	if s == 0 {
		return 1
	}
	return s
}
