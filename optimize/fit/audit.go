package fit

import (
	"fmt"
	"math"
	"strconv"

	"ullage/model"
	"ullage/model/air"
)

const (
	slopeSamples = 5
	slopeSpan    = 0.5  // s, over which heights give a speed
	slowRise     = 1.5  // times the time of a throw to that height
	mostAir      = 3600 // s, in flight; the grid of a filter is laid over all of it
	unlike       = 3    // times the brief's own height, or a share of it
)

// audit refuses a log that no flight of this rocket can have left, with the
// figures that say so.
func (t *track) audit(nominal *model.Flight) error {
	f := t.flight
	statics, ok := model.Weigh(&f.Rocket, &f.Site)
	if !ok {
		return fmt.Errorf("the parts of the rocket do not fit, want a chamber, fins and nose within the body")
	}
	rise := t.topTime - t.lift
	if limit := slowRise*math.Sqrt(2*t.top/air.Gravity) + 1; rise > limit {
		return fmt.Errorf("rises %s m in %s s, gravity allows %s s at most, want times in s: is the unit right?", short(t.top), short(rise), short(limit))
	}
	claims, height, speed := t.energy()
	t.claims, t.holds = claims*statics.DryMass, workOf(&f.Rocket, &f.Site, &statics)
	if t.claims > t.holds {
		return fmt.Errorf("claims %s kJ (%s kg at %s m with %s m/s), the charge holds %s kJ, %s kJ of it if no heat comes in: want heights in m and times in s: is a unit wrong?",
			short(t.claims/1e3), short(statics.DryMass), short(height), short(speed), short(t.holds/1e3), short(statics.StoredEnergy/1e3))
	}
	expected, ok := nominal.Figure(model.Apogee)
	if !ok {
		return fmt.Errorf("the brief's flight is %s, want one that lands", nominal.Outcome)
	}
	if t.top > unlike*expected || t.top < expected/unlike {
		return fmt.Errorf("highest at %s m, the brief's flight reaches %s m: too far apart for a fit, want the log's unit and the brief's conditions checked", short(t.top), short(expected))
	}
	return nil
}

// workOf is the most work, in J, that the gas can do while it comes to the
// pressure and temperature outside, whatever heat it takes up:
//
//	W = p V ln(p/p_a) − (p − p_a) V
//
// the exergy of an ideal gas at the temperature of its surroundings (any
// thermodynamics text).
func workOf(r *model.Rocket, site *model.Site, statics *model.Statics) float64 {
	p := site.Pressure + r.Chamber.Pressure
	volume := statics.Volume * (1 - r.Chamber.Fill)
	return volume * (p*math.Log(p/site.Pressure) - r.Chamber.Pressure)
}

// energy returns the largest energy of a kilogram that the log claims, in J,
// with the height and the upward speed there. Speeds are slopes of straight
// lines through half a second of heights.
func (t *track) energy() (most, height, speed float64) {
	for i := range t.times {
		j := i
		for j < len(t.times) && (j-i < slopeSamples || t.times[j-1]-t.times[i] < slopeSpan) {
			j++
		}
		if j-i < slopeSamples {
			break
		}
		at, rate := line(t.times[i:j], t.heights[i:j])
		if e := air.Gravity*max(at, 0) + rate*rate/2; e > most {
			most, height, speed = e, at, rate
		}
	}
	return most, height, speed
}

// line fits a straight line and returns its middle and its slope.
func line(x, y []float64) (middle, slope float64) {
	n := float64(len(x))
	mx, my := 0.0, 0.0
	for i := range x {
		mx += x[i] / n
		my += y[i] / n
	}
	sxy, sxx := 0.0, 0.0
	for i := range x {
		sxy += (x[i] - mx) * (y[i] - my)
		sxx += (x[i] - mx) * (x[i] - mx)
	}
	return my, sxy / sxx
}

// short writes a number with three digits that mean something, and no exponent.
func short(v float64) string {
	if v == 0 {
		return "0"
	}
	decimals := 2 - int(math.Floor(math.Log10(math.Abs(v))))
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', max(decimals, 0), 64)
}
