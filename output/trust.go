package output

// uncalibrated is the share by which the apogee of a rocket that no flight log
// has been fitted to is uncertain: a judgement, no source.
const uncalibrated = 0.08

// fitted is that share for a rocket whose brief was fitted to a flight log
// (judgement, no source: the fit's own band says it for the flight it foresees).
const fitted = 0.02

// Trust returns how far an apogee is to be trusted, as a share of it, and why.
func (l Layout) Trust() (float64, string) {
	if l.Fitted {
		return fitted, "fitted"
	}
	return uncalibrated, "uncalibrated"
}
