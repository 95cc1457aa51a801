package fit

import (
	"errors"
	"fmt"
	"math"

	"ullage/model"
)

// A Flight is the log of a flight, or what was observed of it, or both, with the
// rocket and the conditions that it was flown with.
type Flight struct {
	Log       *Log          // nil: there is none
	Observed  []Observation // beside the log; never of a test stand
	Rocket    model.Rocket
	Site      model.Site
	Altimeter Altimeter          // Unsaid leaves it to the header of the log
	Lag       float64            // s, time constant of the altimeter's filter of first order; 0: none
	Doubts    map[string]float64 // by key, one deviation, SI, where the brief's [scatter.day] says it: what a fit found before
	Planned   []string           // keys whose values are the brief's plan, not measured that day
}

// A channel is what is compared with the model.
type channel int

const (
	heightChannel channel = iota
	speedChannel
	feltChannel
	thrustChannel
	figureChannel     // what was observed, over its deviation
	channels      int = iota
)

var channelNames = [channels]string{"height", "speed", "acceleration", "thrust", "figure"}

// A reading is one number of a log that takes part in the fit.
type reading struct {
	at    int // index of its time; of an acceleration or a thrust, of the end of its span; of what was observed, among the observations
	from  int // of the beginning of that span
	of    channel
	value float64
}

// A track is a log made ready: true heights above the pad.
type track struct {
	flight      *Flight
	altimeter   Altimeter // the flight's, or what the header says
	bench       bool      // a test stand's
	origin      float64   // s of the log, from which the times below count
	times       []float64 // s
	heights     []float64 // m, at times
	readings    []reading // in order of time, the accelerations behind the others
	stretch     float64   // true metres in one of the log's
	level       float64   // m, what was taken off the heights, true
	quiet       bool      // the pad was recorded before lift-off
	lift        float64   // s, first guess of lift-off
	firstHeight float64   // m, of the first sample in the air
	top         float64   // m, highest
	topTime     float64   // s
	scales      [channels]float64
	claims      float64 // J, the most that the log says the dry rocket had
	holds       float64 // J, the most that the charge can do
	notes       []string
}

const (
	risen       = 3.0  // m above the pad that count as flight
	mostTimes   = 3000 // of a log, in a fit
	gapFactor   = 5    // intervals, in medians, that count as a gap
	leastThrust = 20.0 // m/s² felt: twice what the pad gives
	leastSpan   = 0.04 // s, over which a mean acceleration is taken
	jump        = 0.25 // of an acceleration, from one sample to the next
	spikeFloor  = 5.0  // m
	spikeRate   = 150  // m/s², what a rocket's own motion may look like
	spikeSpan   = 8    // standard deviations
)

// newTrack makes a log ready, or says why it holds no flight.
func newTrack(f *Flight) (*track, error) {
	t := &track{flight: f, stretch: 1}
	switch {
	case f.Log == nil && len(f.Observed) == 0:
		return nil, errors.New("fit: a flight without a log or an observation, want one of them")
	case f.Log == nil:
		t.takeObserved()
		return t, nil
	case f.Log.Has[Thrust] && len(f.Observed) > 0:
		return nil, fmt.Errorf("%s: observations beside the log of a test stand, want those of a flight apart", f.Log.Name)
	}
	t.notes = append(t.notes, f.Log.Notes...)
	if t.bench = f.Log.Has[Thrust]; t.bench {
		err := t.takeThrust()
		t.rebase()
		return t, err
	}
	if err := t.settleAltimeter(); err != nil {
		return nil, fmt.Errorf("%s: %w", f.Log.Name, err)
	}
	t.takeHeights()
	t.gaps()
	keep := t.spikes()
	if err := t.findFlight(keep); err != nil {
		return nil, fmt.Errorf("%s: %w", f.Log.Name, err)
	}
	t.takeReadings(keep)
	t.rebase()
	t.firstScales()
	t.takeObserved()
	return t, nil
}

// name is what faults call the track.
func (t *track) name() string {
	if t.flight.Log == nil {
		return "observed"
	}
	return t.flight.Log.Name
}

// rebase counts the times from the first that takes part: a clock that counts
// from 1970, or that was set on the pad, leaves no digits for a search.
func (t *track) rebase() {
	if len(t.times) == 0 {
		return
	}
	t.origin = t.times[0]
	for i := range t.times {
		t.times[i] -= t.origin
	}
	t.lift -= t.origin
	t.topTime -= t.origin
}

// settleAltimeter finds out what the heights are counted by. Where neither the
// flight nor the header says it, it tells what the meanings would make of them.
func (t *track) settleAltimeter() error {
	f := t.flight
	if t.altimeter = f.Altimeter; t.altimeter == Unsaid {
		t.altimeter = f.Log.Altimeter
	}
	if !f.Log.Has[Height] || t.altimeter != Unsaid {
		return nil
	}
	return fmt.Errorf("the header does not say whether heights are corrected for the air's temperature, want --altimeter true if they are, or come from satellites; "+
		"pad if they count from 0 at the pad as most loggers do (here times %.4f), sea if from sea level (times %.4f)", PadAt15.stretch(&f.Site), SeaLevel.stretch(&f.Site))
}

// takeHeights corrects the heights for the air that they were measured in.
func (t *track) takeHeights() {
	f := t.flight
	first := f.Log.Rows[0][Pressure]
	if f.Log.Has[Height] {
		t.stretch = t.altimeter.stretch(&f.Site)
	}
	for _, row := range f.Log.Rows {
		t.times = append(t.times, row[Time])
		if f.Log.Has[Height] {
			t.heights = append(t.heights, row[Height]*t.stretch)
		} else {
			t.heights = append(t.heights, heightAt(&f.Site, row[Pressure], first))
		}
	}
	switch {
	case !f.Log.Has[Height]:
		t.note("pressures turned into heights with the site's temperature and humidity")
	case t.altimeter != TrueHeight:
		t.note("heights times %.4f: the altimeter is calibrated for the standard atmosphere", t.stretch)
	}
}

func (t *track) note(format string, args ...any) {
	t.notes = append(t.notes, fmt.Sprintf(format, args...))
}

// gaps notes where the log pauses. A fit needs no even times.
func (t *track) gaps() {
	intervals := t.intervals()
	typical := median(append([]float64(nil), intervals...))
	count, longest, at := 0, 0.0, 0.0
	for i, d := range intervals {
		if d > gapFactor*typical {
			count++
			if d > longest {
				longest, at = d, t.times[i]
			}
		}
	}
	if count > 0 {
		t.note("%s, the longest of %.3g s after %s s", plural(count, "gap"), longest, clock(at))
	}
}

func (t *track) intervals() []float64 {
	out := make([]float64, len(t.times)-1)
	for i := range out {
		out[i] = t.times[i+1] - t.times[i]
	}
	return out
}

// findFlight finds the pad's level, lift-off and the top.
func (t *track) findFlight(keep []int) error {
	noise := t.noiseOf(keep)
	t.level = t.heights[keep[0]]
	threshold := max(risen, 6*noise)
	up := t.firstAbove(keep, threshold)
	if up < 0 {
		highest := 0.0
		for _, i := range keep {
			highest = max(highest, t.heights[i]-t.level)
		}
		return fmt.Errorf("never more than %.3g m above its start for two samples: no flight, want heights in m: is the unit right?", highest)
	}
	// What lies well before is the pad; its median is better than one sample.
	var pad []float64
	for _, i := range keep[:up] {
		if t.times[i] < t.times[keep[up]]-1 {
			pad = append(pad, t.heights[i])
		}
	}
	if t.quiet = len(pad) >= 3; t.quiet {
		t.level = median(pad)
		up = max(t.firstAbove(keep, threshold), 0)
	}
	if math.Abs(t.level) > 0.5 {
		t.note("%.4g m taken off the heights: the level of the pad", t.level/t.stretch)
	}
	for i := range t.heights {
		t.heights[i] -= t.level
	}
	for _, i := range keep {
		if t.heights[i] > t.top {
			t.top, t.topTime = t.heights[i], t.times[i]
		}
	}
	// The model's own time to that height comes off it later.
	t.lift, t.firstHeight = t.times[keep[up]], t.heights[keep[up]]
	return nil
}

// firstAbove returns the first kept sample of three in a row above the level by
// more than the threshold, or −1.
func (t *track) firstAbove(keep []int, threshold float64) int {
	run := 0
	for k, i := range keep {
		if t.heights[i]-t.level <= threshold {
			run = 0
			continue
		}
		if run++; run == 3 {
			return k - 2
		}
	}
	return -1
}
