package fit

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"ullage/model"
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
	count     int // of readings
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

func newFitter(flights []Flight, keys []string) (*fitter, error) {
	if len(flights) == 0 {
		return nil, errors.New("fit: 0 logs, want at least 1")
	}
	f := &fitter{predictor: newPredictor()}
	for _, key := range keys {
		fr := freeOf(key)
		if fr == nil {
			return nil, fmt.Errorf("fit: %q, want one of %v", key, Freeable())
		}
		q := quantityOf(key)
		v := q.Value(&flights[0].Rocket, &flights[0].Site)
		f.unknowns = append(f.unknowns, &unknown{free: fr, quantity: q, log: -1, value: v, fallback: v})
	}
	for i := range flights {
		t, err := newTrack(&flights[i])
		if err != nil {
			return nil, err
		}
		if err := f.begin(t); err != nil {
			return nil, fmt.Errorf("%s: %w", t.name(), err)
		}
		f.tracks = append(f.tracks, t)
		f.count += len(t.readings)
		if t.flight.Log != nil {
			f.unknowns = append(f.unknowns, &unknown{log: i, value: t.lift, fallback: t.lift}, &unknown{log: i, level: true})
		}
	}
	f.model = make([]float64, f.count)
	f.activate()
	return f, nil
}

// begin guesses lift-off by the brief's own flight, and audits the log.
func (f *fitter) begin(t *track) error {
	if t.bench {
		return f.beginBench(t)
	}
	rocket, site := t.flight.Rocket, t.flight.Site
	nominal, path := model.Path(&rocket, &site, model.NewScratch())
	if err := t.auditObserved(&nominal); err != nil || t.flight.Log == nil {
		return err
	}
	top, _ := nominal.Figure(model.Apogee)
	first := min(t.firstHeight, 0.98*top)
	for _, p := range path {
		if p.Z >= first {
			t.lift -= p.T
			break
		}
	}
	if err := t.audit(&nominal); err != nil {
		return err
	}
	if n, want := len(t.readings), leastRows; n < want {
		return fmt.Errorf("%s in flight, want at least %d", plural(n, "sample"), want)
	}
	if whole := t.times[len(t.times)-1] - t.lift; whole > mostAir {
		return fmt.Errorf("in the air for %s s, want %d s at most: does the clock jump?", short(whole), mostAir)
	}
	return nil
}

// readings returns how many there are of all tracks, and seen how many of them
// are observations.
func (f *fitter) readings() (n int) {
	for _, t := range f.tracks {
		n += len(t.readings)
	}
	return n
}

func (f *fitter) seen() (n int) {
	for _, t := range f.tracks {
		n += len(t.flight.Observed)
	}
	return n
}

func (f *fitter) activate() {
	f.active = f.active[:0]
	for _, u := range f.unknowns {
		if !u.fixed {
			f.active = append(f.active, u)
		}
	}
}

// values returns the active unknowns.
func (f *fitter) values() []float64 {
	x := make([]float64, len(f.active))
	for k, u := range f.active {
		x[k] = u.value
	}
	return x
}

// craft returns the rocket and site of a log with the quantities of x, and the
// log's own unknowns.
func (f *fitter) craft(log int, x []float64) (r model.Rocket, s model.Site, lift, level float64) {
	t := f.tracks[log]
	r, s = t.flight.Rocket, t.flight.Site
	k := 0
	for _, u := range f.unknowns {
		v := u.value
		if !u.fixed {
			v = x[k]
			k++
		}
		switch {
		case u.quantity != nil:
			u.quantity.Set(&r, &s, v)
		case u.log == log && u.level:
			level = v
		case u.log == log:
			lift = v
		}
	}
	return r, s, lift, level
}

// predict writes what the readings of a log should be to its part of dst.
func (f *fitter) predict(log int, x, dst []float64) bool {
	r, s, lift, level := f.craft(log, x)
	t := f.tracks[log]
	if ok := t.bench && f.predictor.press(t, &r, &s, lift) || !t.bench && f.predictor.fly(t, &r, &s, lift); !ok {
		return false
	}
	from, to := f.part(log)
	f.predictor.read(f.tracks[log], level, dst[from:to])
	return true
}

// part is where the readings of a log stand among all.
func (f *fitter) part(log int) (from, to int) {
	for _, t := range f.tracks[:log] {
		from += len(t.readings)
	}
	return from, from + len(f.tracks[log].readings)
}

func (f *fitter) residuals(x, dst []float64) bool {
	for log := range f.tracks {
		if !f.predict(log, x, dst) {
			return false
		}
	}
	f.scale(dst)
	if f.doubts {
		for k, u := range f.active {
			dst[f.readings()+k] = (x[k] - u.fallback) / u.doubt(f.tracks)
		}
	}
	return true
}

// scale turns predictions into residuals in deviations.
func (f *fitter) scale(dst []float64) {
	k := 0
	for _, t := range f.tracks {
		for _, r := range t.readings {
			dst[k] = (dst[k] - r.value) / t.scales[r.of]
			k++
		}
	}
}

// jacobian takes central differences; what belongs to one log flies only that.
func (f *fitter) jacobian(x []float64, dst *mat.Dense) bool {
	up, down := make([]float64, f.count), make([]float64, f.count)
	at := append([]float64(nil), x...)
	dst.Zero()
	if f.doubts {
		for k, u := range f.active {
			dst.Set(f.readings()+k, k, 1/u.doubt(f.tracks))
		}
	}
	for k, u := range f.active {
		step, low, high := liftStep, 0.0, 0.0
		if u.free != nil {
			step = u.free.step
		}
		low, high = u.bounds()
		a, b := max(x[k]-step, low), min(x[k]+step, high)
		for log, t := range f.tracks {
			if u.log >= 0 && u.log != log {
				continue
			}
			from, to := f.part(log)
			if u.level {
				for i := from; i < to; i++ {
					if r := t.readings[i-from]; r.of == heightChannel || r.of == thrustChannel {
						dst.Set(i, k, 1/t.scales[r.of])
					}
				}
				continue
			}
			at[k] = b
			ok := f.predict(log, at, up)
			at[k] = a
			ok = f.predict(log, at, down) && ok
			at[k] = x[k]
			if !ok {
				return false
			}
			for i := from; i < to; i++ {
				dst.Set(i, k, (up[i]-down[i])/((b-a)*t.scales[t.readings[i-from].of]))
			}
		}
	}
	return true
}

func (f *fitter) problem() *Problem {
	p := &Problem{Residuals: f.residuals, Jacobian: f.jacobian, Count: f.count, Loss: Huber, Tolerance: flightTolerance}
	if f.doubts { // there is nothing to tell an outlier by
		p.Loss = nil
	}
	for _, u := range f.active {
		low, high := u.bounds()
		p.Lower, p.Upper = append(p.Lower, low), append(p.Upper, high)
	}
	return p
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

// judge works out how certain the active unknowns are, from residuals in
// deviations and their derivatives.
//
// The variance is that of an M-estimator,
//
//	K² Σψ²/(n − p) / (mean ψ′)² (JᵀJ)⁻¹,  K = 1 + (p/n) (1 − m)/m,  m = mean ψ′
//
// (Huber, Robust Statistics, 1981, section 7.6 †), times (1 + ρ)/(1 − ρ) where
// neighbours are correlated by ρ beyond chance: what n samples of such noise
// are worth, seen over times much longer than it hangs together (any text on
// time series).
func (f *fitter) judge(r []float64, j *mat.Dense) {
	n, p := float64(f.count), float64(len(f.active))
	squares, inside := 0.0, 0.0
	psi := make([]float64, len(r))
	for i, v := range r {
		_, w := Huber(v)
		psi[i] = w * v
		squares += psi[i] * psi[i]
		if w == 1 {
			inside++
		}
	}
	m := max(inside/n, 0.01)
	k := 1 + p/n*(1-m)/m
	f.inflate, f.effect = k*k*squares/(n-p)/(m*m), n-p
	if rho := f.correlated(psi); rho > 1.64/math.Sqrt(n) { // one-sided 5 %
		worth := (1 - rho) / (1 + rho)
		f.inflate /= worth
		f.effect = max(n*worth-p, 1)
	}
	f.spread = newSpreadOf(j)
}

// correlated is the correlation between one reading and the next of its kind.
func (f *fitter) correlated(psi []float64) float64 {
	products, squares := 0.0, 0.0
	k := 0
	for _, t := range f.tracks {
		var last [channels]float64
		for _, r := range t.readings {
			products += psi[k] * last[r.of]
			squares += psi[k] * psi[k]
			last[r.of] = psi[k]
			k++
		}
	}
	return min(products/max(squares, math.SmallestNonzeroFloat64), 0.98)
}

func (f *fitter) deviation(k int) float64 { return math.Sqrt(f.inflate * f.spread.variance(k)) }

// half is the factor from a deviation to half an interval.
func (f *fitter) half() float64 {
	if f.doubts {
		return f.half0() // what was observed has its deviation given, not judged
	}
	return student(Confidence, int(f.effect))
}

// drop fixes the unknown that is least certain, measured by what is enough,
// where it is so many times less certain than that. With more than one it goes
// on until there is none, at the place where the search begins.
func (f *fitter) drop(times float64) bool {
	any := false
	for len(f.active) > 0 {
		if times > 1 {
			j := mat.NewDense(f.count, len(f.active), nil)
			if !f.jacobian(f.values(), j) {
				return any
			}
			f.inflate = 1
			f.spread = newSpreadOf(j)
		}
		worst, most := -1, times
		for k, u := range f.active {
			if ratio := f.deviation(k) / u.enough(); ratio > most {
				worst, most = k, ratio
			}
		}
		if worst < 0 {
			return any
		}
		any = true
		u := f.active[worst]
		u.fixed, u.value, u.why = true, u.fallback, f.reason(worst)
		f.activate()
		if times == 1 {
			return true
		}
	}
	return any
}

// reason says why an unknown cannot be told.
func (f *fitter) reason(worst int) string {
	partner, most := -1, 0.95
	for k := range f.active {
		if c := math.Abs(f.spread.correlation(worst, k)); k != worst && c > most {
			partner, most = k, c
		}
	}
	text := "the log does not show it"
	if sd := f.deviation(worst); sd < 100*f.active[worst].enough() {
		text = fmt.Sprintf("the log leaves it ± %s", f.active[worst].text(f.half0()*sd))
	}
	if partner >= 0 {
		text += fmt.Sprintf(", and cannot tell it from %s", f.active[partner].name(f.tracks))
	}
	return text
}

// half0 is half for a normal distribution: before a fit there is no count of
// what the readings are worth.
func (f *fitter) half0() float64 { return distuv.UnitNormal.Quantile((1 + Confidence) / 2) }
