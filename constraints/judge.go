package constraints

// A Verdict is what limits say of one flight or one design.
type Verdict struct {
	Slacks []float64 // of each limit, in its unit, positive inside; NaN where the number is not there
	Kept   bool      // every limit is kept
}

// Judge holds values, one a limit, against limits and fills v. A value that is
// NaN is not there, and its limit is not kept. It allocates only where v has
// held fewer limits before.
func (v *Verdict) Judge(limits []Limit, values []float64) {
	v.Slacks, v.Kept = v.Slacks[:0], true
	for i := range limits {
		slack := limits[i].Slack(values[i])
		v.Slacks = append(v.Slacks, slack)
		v.Kept = v.Kept && Kept(slack)
	}
}

// Kept reports whether a limit with that slack is kept; one without, NaN, is
// not.
func Kept(slack float64) bool { return slack >= 0 }
