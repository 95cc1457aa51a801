package fit

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
)

// An Observation is one figure of a flight that somebody saw without a logger.
type Observation struct {
	Text      string // as it was given
	Figure    model.Figure
	Value     float64 // SI
	Deviation float64 // SI, one standard deviation
}

// sightedWithin is how well an angle is sighted by hand, where nothing is said:
// one deviation, in rad. Common practice, no source.
const sightedWithin = 2 * math.Pi / 180

// steepest is the largest angle at which a height can be sighted, in rad: the
// height goes with the tangent, and nobody holds a baseline better than that.
const steepest = 80 * math.Pi / 180

// longest is the longest baseline, in m.
const longest = 10e3

// ReadObservation reads "FIGURE = VALUE ± DEVIATION", such as
// "apogee_time = 3.4 s ± 0.2 s"; +- stands for ± too. A deviation in % is a share
// of the value, and a value without a unit has that of its deviation. The figure
// is the key of any of model.Figures.
//
// It errs, as "TEXT: fact, want", for an unknown figure, a number that is none, a unit
// of another dimension and a deviation of 0 or less.
func ReadObservation(text string) (Observation, error) {
	key, amount, ok := strings.Cut(text, "=")
	id, known := model.FigureByKey(strings.TrimSpace(key))
	if !ok || !known {
		return Observation{}, fmt.Errorf("%q: no figure of a flight before =, want one such as apogee, apogee_time, flight_time or drift; fly lists all", text)
	}
	value, deviation, err := readAbout(amount, model.Figures[id].Unit)
	if err == nil && deviation == 0 {
		err = fmt.Errorf("no deviation, want ± and how well it was seen, as in %s", `"apogee_time = 3.4 s ± 0.2 s"`)
	}
	if err != nil {
		return Observation{}, fmt.Errorf("%q: %w", text, err)
	}
	return Observation{Text: tidy(text), Figure: id, Value: value, Deviation: deviation}, nil
}

// ReadSighting reads "ANGLE at BASELINE", such as "31 deg at 100 m": the angle
// above the level at which the highest point is seen from so far beside the pad.
// The height is the baseline times the tangent of the angle, if the top stands
// above the pad. The angle may have a deviation, "31 deg ± 1 deg at 100 m"; 2 deg
// where it has none.
//
// It errs, as "TEXT: fact, want", for any other text, for an angle that is not
// above 0 deg and up to 80 deg, and for a distance that is not above 0 m and up to
// 10 km.
func ReadSighting(text string) (Observation, error) {
	angleText, baseText, ok := strings.Cut(text, " at ")
	if !ok {
		return Observation{}, fmt.Errorf("%q: no baseline, want an angle and a length, as in \"31 deg at 100 m\"", text)
	}
	angle, within, err := readAbout(angleText, "rad")
	var base float64
	if err == nil {
		base, _, err = readAbout(baseText, "m")
	}
	switch {
	case err != nil:
		return Observation{}, fmt.Errorf("%q: %w", text, err)
	case !(angle > 0 && angle <= steepest):
		return Observation{}, fmt.Errorf("%q: an angle beyond what tells a height, want above 0 deg and up to 80 deg", text)
	case !(base > 0 && base <= longest):
		return Observation{}, fmt.Errorf("%q: no baseline of any use, want the distance from the pad, up to 10 km", text)
	}
	if within == 0 {
		within = sightedWithin
	}
	cos := math.Cos(angle)
	o := Observation{Figure: model.Apogee, Value: base * math.Tan(angle), Deviation: base * within / (cos * cos)}
	o.Text = fmt.Sprintf("sighted %s: apogee = %s m ± %s m", tidy(text), short(o.Value), short(o.Deviation))
	return o, nil
}

// tidy brings text from outside to one line without what a terminal obeys.
func tidy(text string) string {
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || !strconv.IsPrint(r) }), " ")
}

var aboutPattern = regexp.MustCompile(`^([^±]*?)(?:±([^±]*))?$`)

// readAbout reads a value and, where there is one, its deviation, else 0.
func readAbout(text, si string) (value, deviation float64, err error) {
	parts := aboutPattern.FindStringSubmatch(strings.ReplaceAll(text, "+-", "±"))
	if parts == nil {
		return 0, 0, fmt.Errorf("more than one ±, want one")
	}
	number, unit := cutUnit(parts[1])
	aboutNumber, aboutUnit := cutUnit(parts[2])
	if unit == "" && aboutUnit != "%" {
		unit = aboutUnit
	}
	if value, err = readNumber(number, unit, si); err != nil {
		return 0, 0, err
	}
	if strings.TrimSpace(parts[2]) == "" {
		return value, 0, nil
	}
	if aboutUnit == "%" && si != "1" {
		deviation, err = readNumber(aboutNumber, "%", "1")
		deviation *= math.Abs(value)
	} else {
		deviation, err = readNumber(aboutNumber, aboutUnit, si)
	}
	if err == nil && !(deviation > 0 && deviation < math.MaxFloat64) {
		err = fmt.Errorf("a deviation of %s, want above 0", strings.TrimSpace(parts[2]))
	}
	return value, deviation, err
}

var numberPattern = regexp.MustCompile(`(?s)^\s*([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)?\s*(.*?)\s*$`)

func cutUnit(text string) (number, unit string) {
	m := numberPattern.FindStringSubmatch(text)
	return m[1], m[2]
}

// readNumber returns a number with its unit in SI. A ratio may stand bare.
func readNumber(number, unit, si string) (float64, error) {
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return 0, fmt.Errorf("no number in %q, want one with a unit, as in \"78 m\"", strings.TrimSpace(number+" "+unit))
	}
	if unit == "" && (si == "1" || si == "cal") {
		return v, nil
	}
	out, ok := brief.ToSI(v, unit, si)
	if !ok || math.IsInf(out, 0) {
		return 0, fmt.Errorf("unit %q, want one of %s", unit, strings.Join(brief.UnitNames(si), ", "))
	}
	return out, nil
}

// An ObservedFit is what became of one observation, SI.
type ObservedFit struct {
	Observation
	Before, After float64 // by the model, with the brief's values and with the fitted ones
}

// Off returns how many of its deviations the observation is away from the fitted
// model; positive where more was seen.
func (o *ObservedFit) Off() float64 { return (o.Value - o.After) / o.Deviation }

// takeObserved adds what was seen to the readings.
func (t *track) takeObserved() {
	for i, o := range t.flight.Observed {
		t.readings = append(t.readings, reading{at: i, of: figureChannel, value: o.Value / o.Deviation})
	}
	t.scales[figureChannel] = 1
}

// auditObserved refuses an observation that the brief's flight is nowhere near.
func (t *track) auditObserved(nominal *model.Flight) error {
	for _, o := range t.flight.Observed {
		expected, ok := nominal.Figure(o.Figure)
		if !ok {
			return fmt.Errorf("%s: the brief's flight has no such figure, want one that it has", o.Text)
		}
		size := math.Abs(o.Value / expected)
		if math.Abs(o.Value-expected) > 3*o.Deviation && !(size < unlike && size > 1./unlike) {
			info := model.Figures[o.Figure]
			return fmt.Errorf("%s: the brief's flight has %s %s: too far apart for a fit, want the unit and the brief's conditions checked", o.Text, short(expected), info.Unit)
		}
	}
	return nil
}

// observedFits lists what became of the observations, those of the brief's
// flight beside those of the fitted one.
func (t *track) observedFits(before, after *model.Flight) (all []ObservedFit) {
	for _, o := range t.flight.Observed {
		fit := ObservedFit{Observation: o}
		fit.Before, _ = before.Figure(o.Figure)
		fit.After, _ = after.Figure(o.Figure)
		all = append(all, fit)
	}
	return all
}

// Observe gives observations to the flight that they are of: the first one with
// the log of a flight, or with none.
//
// It errs where all logs are those of test stands, where nothing flies.
func Observe(flights []Flight, observed []Observation) error {
	if len(observed) == 0 {
		return nil
	}
	i := slices.IndexFunc(flights, func(f Flight) bool { return f.Log == nil || !f.Log.Has[Thrust] })
	if i < 0 {
		return fmt.Errorf("%s: only logs of test stands, want the log of a flight or none", observed[0].Text)
	}
	flights[i].Observed = observed
	return nil
}
