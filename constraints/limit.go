package constraints

import "math"

// A Limit holds one number of a flight or of a design between two bounds.
type Limit struct {
	Key     string  // as in the brief: "landing_speed", "chamber.pressure"
	AtLeast float64 // SI; −Inf when there is no lower bound
	AtMost  float64 // SI; +Inf when there is no upper bound
	Size    bool    // the limit acts on the size of the value, not its sign
}

// Slack returns the distance from v to the nearer bound, in v's unit:
// positive inside, negative outside.
func (l Limit) Slack(v float64) float64 {
	if l.Size {
		v = math.Abs(v)
	}
	return min(v-l.AtLeast, l.AtMost-v)
}

// Violation returns by how much v misses the limit, 0 when it is met.
func (l Limit) Violation(v float64) float64 { return max(0, -l.Slack(v)) }

// Missing returns the violation of a flight that does not have the number at
// all: as bad as missing the bound by its own size.
func (l Limit) Missing() float64 { return l.scale() }

// Scaled returns a slack as a share of the bound that it was measured from,
// so that slacks of different limits compare.
func (l Limit) Scaled(slack float64) float64 { return slack / l.scale() }

// Binding reports whether a slack is within 1 % of the limit.
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
