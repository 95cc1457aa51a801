package fit

import (
	"fmt"
	"math"

	"ullage/model"
	"ullage/model/air"
)

const (
	slopeSamples = 5
	slopeSpan    = 0.5 // s, over which heights give a speed
	slowRise     = 1.5 // times the time of a throw to that height
	unlike       = 3   // times the brief's own height, or a share of it
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
		return fmt.Errorf("rises %.3g m in %.3g s, gravity allows %.3g s at most, want times in s: is the unit right?", t.top, rise, limit)
	}
	claims, height, speed := t.energy()
	t.claims, t.holds = claims*statics.DryMass, workOf(&f.Rocket, &f.Site, &statics)
	if t.claims > t.holds {
		return fmt.Errorf("claims %.3g kJ (%.3g kg at %.3g m with %.3g m/s), the charge holds %.3g kJ, %.3g kJ of it if no heat comes in: want heights in m and times in s: is a unit wrong?",
			t.claims/1e3, statics.DryMass, height, speed, t.holds/1e3, statics.StoredEnergy/1e3)
	}
	expected, ok := nominal.Figure(model.Apogee)
	if !ok {
		return fmt.Errorf("the brief's flight is %s, want one that lands", nominal.Outcome)
	}
	if t.top > unlike*expected || t.top < expected/unlike {
		return fmt.Errorf("highest at %.3g m, the brief's flight reaches %.3g m: too far apart for a fit, want the log's unit and the brief's conditions checked", t.top, expected)
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
