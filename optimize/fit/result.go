package fit

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
	"ullage/optimize/brief"
)

// An Estimate is what the logs say about one quantity of the brief, SI.
type Estimate struct {
	*brief.Quantity
	Was        float64 // before the fit
	Value      float64
	Deviation  float64 // one standard deviation; 0 where it was not fitted
	Low, High  float64 // the interval, cut at the range of validity
	Fitted     bool
	Why        string // it was not
	AtTheRange bool   // the best value lies at an end of the range of validity, or beyond
}

// A LogFit is what became of one log.
type LogFit struct {
	Name, Hash      string            // of the file; SHA-256 in hex
	Bench           bool              // a test stand's: Highest, Before and After are impulses, in N s
	LiftOff         float64           // s, in the log's time
	LiftOffInterval float64           // s, half of it; 0 where it was not fitted
	Level           float64           // m, of the pad in the log
	LevelInterval   float64           // m, half of it; 0 where it was not fitted
	Noise           [channels]float64 // m, m/s, m/s², N, of height, speed, acceleration and thrust
	Has             [channels]bool    // the log holds it
	Highest         float64           // m, of the log, corrected
	Before, After   float64           // m, apogee of the model with the brief's values and with the fitted ones
	Impulse         float64           // of the fitted flight, over that of the brief's
	Claims, Holds   float64           // J, what the log says the dry rocket had, and what the charge can do at most
	Planned         []string          // "site.wind 3 m/s": what is as the brief plans it, for want of measured values
	Notes           []string
	Rows            []Row
}

// A Row is one time of a log: what it read, corrected, and what the fitted
// model says. SI; what the log does not have is NaN.
type Row struct {
	Time                  float64 // s after lift-off
	Height, Speed, Felt   float64
	ModelHeight           float64
	ModelSpeed, ModelFelt float64
	Thrust, ModelThrust   float64
	Weight                float64 // of the height in the loss, 0 to 1
}

// A Result is what a fit found.
type Result struct {
	Estimates   []Estimate
	Logs        []LogFit
	Observed    []ObservedFit
	Planned     []string    // as in a LogFit, of a flight without a log
	Correlation [][]float64 // of the estimates that were fitted, in their order
	Condition   float64     // of the derivatives, columns of length 1; large: some unknowns are hard to tell apart
	Readings    int
	Worth       float64 // how many independent ones they stand for, less the unknowns
	Converged   bool
	Deviance    float64 // −2 ln of the likelihood that noise as judged has, for comparing fits of the same logs

	covariance *mat.SymDense // of the fitted ones
	half       float64       // of an interval, in deviations
}

func (u *unknown) name(tracks []*track) string {
	switch {
	case u.quantity != nil:
		return u.quantity.Key
	case u.level:
		if tracks[u.log].bench {
			return "the cell's zero in " + tracks[u.log].flight.Log.Name
		}
		return "the pad's level in " + tracks[u.log].flight.Log.Name
	}
	return "lift-off in " + tracks[u.log].flight.Log.Name
}

// text shows a deviation of the unknown.
func (u *unknown) text(v float64) string {
	unit := " s"
	switch {
	case u.level:
		unit = " m"
	case u.quantity != nil && u.quantity.Unit == "1":
		unit = ""
	}
	return strconv.FormatFloat(v, 'g', 2, 64) + unit
}

func (f *fitter) result() *Result {
	half := f.half()
	r := &Result{Condition: f.spread.condition, Readings: f.readings(), Worth: f.effect, Converged: f.solution.Converged, half: half}
	index := map[*unknown]int{}
	var fitted []int
	for k, u := range f.active {
		index[u] = k
		if u.quantity != nil {
			fitted = append(fitted, k)
		}
	}
	for _, u := range f.unknowns {
		if u.quantity == nil {
			continue
		}
		e := Estimate{Quantity: u.quantity, Was: u.fallback, Value: u.value, Low: u.value, High: u.value, Why: u.why}
		if k, ok := index[u]; ok {
			e.Fitted, e.Deviation = true, f.deviation(k)
			e.Low, e.High = max(u.value-half*e.Deviation, u.quantity.Min), min(u.value+half*e.Deviation, u.quantity.Max)
			e.AtTheRange = u.value <= u.quantity.Min || u.value >= u.quantity.Max
		}
		r.Estimates = append(r.Estimates, e)
	}
	f.covary(r, fitted)
	for log, t := range f.tracks {
		before, after := f.flownBoth(log)
		r.Observed = append(r.Observed, t.observedFits(&before, &after)...)
		if t.flight.Log == nil {
			r.Planned = t.planned()
			continue
		}
		r.Logs = append(r.Logs, f.logFit(log, index, half, &before, &after))
	}
	r.Deviance = f.deviance()
	return r
}

// covary sets the covariance and the correlation of the fitted unknowns.
func (f *fitter) covary(r *Result, fitted []int) {
	n := len(fitted)
	if n == 0 {
		return
	}
	r.covariance = mat.NewSymDense(n, nil)
	for a, k := range fitted {
		row := make([]float64, n)
		for b, l := range fitted {
			row[b] = f.spread.correlation(k, l)
			if b >= a {
				r.covariance.SetSym(a, b, f.inflate*f.spread.covariance(k, l))
			}
		}
		r.Correlation = append(r.Correlation, row)
	}
}

// flownBoth flies the rocket of a track as the brief has it, and as fitted; a
// test stand's stays where it is.
func (f *fitter) flownBoth(log int) (before, after model.Flight) {
	t := f.tracks[log]
	if t.bench {
		return before, after
	}
	r, s, _, _ := f.craft(log, f.values())
	scratch := model.NewScratch()
	return model.Fly(&t.flight.Rocket, &s, scratch), model.Fly(&r, &s, scratch)
}

func (f *fitter) deviance() float64 {
	total, k := 0.0, 0
	if f.doubts {
		return 0
	}
	for _, t := range f.tracks {
		for _, r := range t.readings {
			cost, _ := Huber(f.solution.Residuals[k])
			total += cost + 2*math.Log(t.scales[r.of])
			k++
		}
	}
	return total
}
