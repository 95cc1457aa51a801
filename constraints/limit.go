package constraints

import "math"

// A Limit holds one number of a flight or of a design between two bounds.
type Limit struct {
	Key     string  // as in the brief: "landing_speed", "chamber.pressure"
	AtLeast float64 // SI; −Inf when there is no lower bound
	AtMost  float64 // SI; +Inf when there is no upper bound
	Size    bool    // the limit acts on the size of the value, not its sign
}

// rounding is the share of a bound that a value may lie outside it and still
// count as on it: steps and units lose at most a few of 16 digits, and a vessel
// tested to 1.5 times its pressure must not miss 1.5 by a last digit.
const rounding = 1e-12

// Slack returns the distance from v to the nearer bound, in v's unit: positive
// inside, negative outside, 0 where only rounding keeps v off the bound. Of a
// NaN it is NaN.
func (l *Limit) Slack(v float64) float64 {
	if l.Size {
		v = math.Abs(v)
	}
	return l.rounded(min(v-l.AtLeast, l.AtMost-v))
}

func (l *Limit) rounded(slack float64) float64 {
	if math.Abs(l.Scaled(slack)) < rounding {
		return 0
	}
	return slack
}

// Violation returns by how much a limit is missed that has a slack, 0 where it
// is kept. Without a slack, the number not being there, it is as bad as missing
// the bound by its own size.
func (l *Limit) Violation(slack float64) float64 {
	switch {
	case Kept(slack):
		return 0
	case math.IsNaN(slack):
		return l.scale()
	}
	return -slack
}

// Scaled returns a slack as a share of the bound that it was measured from,
// so that slacks of different limits compare.
func (l *Limit) Scaled(slack float64) float64 { return slack / l.scale() }

// Binding reports whether a slack is within 1 % of the limit.
func (l *Limit) Binding(slack float64) bool { return math.Abs(slack) <= 0.01*l.scale() }

func (l *Limit) scale() float64 {
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
