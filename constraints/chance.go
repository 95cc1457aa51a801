package constraints

import "gonum.org/v1/gonum/stat/distuv"

// Level is the confidence of the bounds that Chance states, each one-sided.
const Level = 0.95

// A Chance is what a number of flights tell of how often a limit is met.
type Chance struct {
	Met, Flights int // Met of Flights met it, 0 ≤ Met ≤ Flights
}

// Share returns the share of the flights that met the limit, from 0 to 1; 0 of
// no flights.
func (c Chance) Share() float64 {
	if c.Flights == 0 {
		return 0
	}
	return float64(c.Met) / float64(c.Flights)
}

// AtLeast returns the lower bound, from 0 to 1, on the chance of meeting the
// limit that holds with the confidence Level whatever the chance is; 0 where no
// flight met it. It assumes independent flights. Those of a Latin hypercube are closer to
// the chance than independent ones, but for a factor n/(n − 1) of the variance
// (Owen, "Monte Carlo variance of scrambled net quadrature", SIAM J. Numer.
// Anal. 34(5) 1884–1910 (1997)), so that the bound holds for them as well.
//
// Source: Clopper & Pearson, Biometrika 26(4) 404–413 (1934).
func (c Chance) AtLeast() float64 {
	if c.Met == 0 {
		return 0
	}
	return distuv.Beta{Alpha: float64(c.Met), Beta: float64(c.Flights - c.Met + 1)}.Quantile(1 - Level)
}

// Needed returns how many of so many flights must meet a limit for AtLeast to
// reach a chance between 0 and 1, and true; or a number above flights, and
// false, where not even all of them would do.
func Needed(flights int, chance float64) (met int, ok bool) {
	for met = flights; met > 0 && (Chance{met, flights}).AtLeast() >= chance; met-- {
		ok = true
	}
	return met + 1, ok
}
