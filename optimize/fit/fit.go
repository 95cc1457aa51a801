package fit

import (
	"errors"
	"fmt"
	"math"
)

const (
	// Confidence is that of every stated interval.
	Confidence = 0.9

	flightTolerance = 1e-4 // of a solution: a thousandth of a deviation with a thousand readings
	rounds          = 8    // in which the scales of the noise settle
	settled         = 0.02 // change of a scale that no longer matters
	leastScale      = 0.02 // m, m/s, m/s²: no logger is better
)

// A fitter holds what a fit works on.
type fitter struct {
	tracks    []*track
	unknowns  []*unknown
	active    []*unknown // those not fixed
	predictor *predictor
	count     int // of residuals
	model     []float64
	solution  Solution
	spread    spreadOf
	inflate   float64 // of variances, for loss and for noise that hangs together
	effect    float64 // readings' worth of independent ones
	doubts    bool    // every active unknown is also as the brief has it, more or less
}

// Fit estimates the quantities named in keys, each one of Freeable, from
// flights, with lift-off and level of each log. Those that the logs leave less
// certain than the trade's own knowledge are named and left as the rocket of
// the first flight has them.
//
// The loss is Huber's, each log's noise is judged from its own residuals, and
// the stated deviations allow for both and for noise that hangs together from
// sample to sample.
//
// An error names the log, what is wrong with it, and what is wanted.
func Fit(flights []Flight, keys []string) (*Result, error) {
	f, err := newFitter(flights, keys)
	if err != nil {
		return nil, err
	}
	if f.readings() == f.seen() {
		return f.observe()
	}
	f.scan()
	f.drop(3) // what is out of reach would only lead the search astray
	for {
		if len(f.active) == 0 {
			return nil, fmt.Errorf("%s: shows nothing of what is to be fitted, nor when the rocket left, want the log of a flight", f.tracks[0].name())
		}
		if err := f.settle(); err != nil {
			return nil, err
		}
		if !f.drop(1) {
			break
		}
	}
	return f.result(), nil
}

// scan tries a few values of what a search could be led astray by: each
// quantity in turn, the others as they are, twice.
func (f *fitter) scan() {
	r := make([]float64, f.count)
	cost := func() float64 {
		if !f.residuals(f.values(), r) {
			return math.Inf(1)
		}
		total := 0.0
		for _, v := range r {
			c, _ := Huber(v)
			total += c
		}
		return total
	}
	best := cost()
	for range 2 {
		for _, u := range f.active {
			if u.free == nil {
				continue
			}
			value := u.value
			for _, v := range u.free.starts {
				u.value = v
				if c := cost(); c < best {
					best, value = c, v
				}
			}
			u.value = value
		}
	}
}

// settle solves, and judges the noise of every log by what is left, until both
// agree.
func (f *fitter) settle() error {
	for range rounds {
		s, err := Solve(f.problem(), f.values())
		if err != nil {
			return err
		}
		f.solution = s
		for k, u := range f.active {
			u.value = s.X[k]
		}
		if f.rescale() < settled {
			break
		}
	}
	// The scales have moved a little since.
	if !f.residuals(f.solution.X, f.solution.Residuals) || !f.jacobian(f.solution.X, f.solution.Jacobian) {
		return errors.New("fit: no flight close to the best one")
	}
	f.judge(f.solution.Residuals, f.solution.Jacobian)
	return nil
}

// rescale judges the noise of each channel of each log by the residuals, and
// returns the largest change, as a share.
func (f *fitter) rescale() (change float64) {
	k := 0
	for _, t := range f.tracks {
		var sizes [channels][]float64
		for _, r := range t.readings {
			sizes[r.of] = append(sizes[r.of], f.solution.Residuals[k]*t.scales[r.of])
			k++
		}
		for of, values := range sizes {
			if len(values) == 0 || channel(of) == figureChannel {
				continue
			}
			s := max(spread(values)*math.Sqrt(float64(f.count)/float64(f.count-len(f.active))), leastScale)
			change = max(change, math.Abs(s/t.scales[of]-1))
			t.scales[of] = s
		}
	}
	return change
}
