package fit

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"

	"ullage/model"
)

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
	if n, want := len(t.readings)-len(t.flight.Observed), leastRows; n < want {
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
		if u.level {
			f.slopesOfLevel(u.log, k, dst)
			continue
		}
		step := liftStep
		if u.free != nil {
			step = u.free.step
		}
		low, high := u.bounds()
		a, b := max(x[k]-step, low), min(x[k]+step, high)
		for log, t := range f.tracks {
			if u.log >= 0 && u.log != log {
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
			from, to := f.part(log)
			for i := from; i < to; i++ {
				dst.Set(i, k, (up[i]-down[i])/((b-a)*t.scales[t.readings[i-from].of]))
			}
		}
	}
	return true
}

// slopesOfLevel writes the derivatives by a log's level, in the column k: heights
// and thrusts go with it.
func (f *fitter) slopesOfLevel(log, k int, dst *mat.Dense) {
	from, _ := f.part(log)
	t := f.tracks[log]
	for i, r := range t.readings {
		if r.of == heightChannel || r.of == thrustChannel {
			dst.Set(from+i, k, 1/t.scales[r.of])
		}
	}
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
