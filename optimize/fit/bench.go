package fit

import (
	"fmt"
	"math"
	"slices"

	"ullage/model"
)

const (
	thrustOn   = 0.05 // of the highest thrust, that counts as the jet
	thrustHeld = 5e-3 // s, that it is held: of a fast cell a few samples in a row may be noise
	tail       = 1.3  // times as long as the thrust lasts, that readings go on for
	thrustSpan = 0.02 // s, over which a mean thrust is taken
	leastSpans = 3    // of the thrust; with fewer the jets cannot be told from the release
	guard      = 0.01 // s, kept clear on both sides of a jump: the model's may lie there
)

// takeThrust makes the log of a test stand ready: the cell's zero taken off, and
// means over short spans while the jets last. A mean does not jump where the
// thrust does.
func (t *track) takeThrust() error {
	var times, force []float64
	for _, row := range t.flight.Log.Rows {
		times, force = append(times, row[Time]), append(force, row[Thrust])
	}
	zero, peak := levels(force)
	first, last := pulse(times, force, zero+thrustOn*(peak-zero))
	held := 0 // samples
	if first >= 0 {
		held = last - first + 1
	}
	if held <= leastRows/2 {
		return fmt.Errorf("%s: %s of thrust, want more than %d, in a log that begins before the release", t.flight.Log.Name, plural(held, "sample"), leastRows/2)
	}
	if first >= 3 {
		zero = median(append([]float64(nil), force[:first]...))
		t.note("%.3g N taken off the thrust: the cell's zero", zero)
	}
	t.level = zero
	for i, f := range force {
		force[i] = f - zero
	}
	t.lift = times[first]
	if first > 0 {
		t.lift = (times[first-1] + times[first]) / 2
	}
	// The tail counts too: to stop at the last sample that noise lifted over the
	// threshold would be to choose it for its noise.
	for end := times[first] + tail*(times[last]-times[first]); last+1 < len(times) && times[last+1] <= end; {
		last++
	}
	for i := first; i < last; i++ {
		t.top += (force[i] + force[i+1]) / 2 * (times[i+1] - times[i])
	}
	t.top += force[first] * (times[first] - t.lift)
	if n := t.takeSpans(times, force, first, last, thrustOn*(peak-zero)); n < leastSpans {
		return fmt.Errorf("%s: thrust for %s s, want at least %g s", t.flight.Log.Name, short(times[last]-times[first]), leastSpans*thrustSpan)
	}
	t.scales = [channels]float64{thrustChannel: max(0.01*(peak-zero), leastScale)}
	return nil
}

// levels returns a first guess of the cell's zero, and the highest force that
// is not a single sample that stands off.
func levels(force []float64) (zero, peak float64) {
	zero = median(append([]float64(nil), force[:3]...))
	peak = zero
	for i := 1; i < len(force)-1; i++ {
		peak = max(peak, median([]float64{force[i-1], force[i], force[i+1]}))
	}
	return zero, peak
}

// pulse returns the first of two samples in a row or more that stay above a force for
// as long as thrust is held, and the last sample above it; -1 where there is none.
func pulse(times, force []float64, on float64) (first, last int) {
	first, last = -1, -1
	from := 0 // of the samples in a row that are above it
	for i, f := range force {
		if f <= on {
			from = i + 1
			continue
		}
		if last = i; first < 0 && i > from && times[i]-times[from] >= thrustHeld {
			first = from
		}
	}
	return first, last
}

// takeSpans takes the readings: of the cell's zero, up to a second before the
// thrust, which is as much of a reading as its load, and of the thrust. It
// returns how many are of the thrust.
func (t *track) takeSpans(times, force []float64, first, last int, least float64) int {
	start := max(first-1, 0)
	for start > 0 && times[start-1] > times[first]-1 {
		start--
	}
	t.times = times[start : last+1]
	t.spans(force[start:last+1], 0, first-1-start, least)
	idle := len(t.readings)
	begin, _ := slices.BinarySearch(times[:last], times[first]+guard)
	begin = max(begin, first+1) // the first sample may stand on the rise
	t.spans(force[start:last+1], begin-start, last+1-start, least)
	return len(t.readings) - idle
}

// spans takes means of the thrust over spans of the samples from begin to before
// end. Where the thrust jumps by least or more, as the water ends, say, a mean
// over it is anybody's guess, and would tell the time far too well.
func (t *track) spans(force []float64, begin, end int, least float64) {
	from, sum := begin, 0.0
	for k := begin + 1; k < end; k++ {
		a, b := force[k-1], force[k]
		if math.Abs(a-b) > max(jump*max(a, b), least) {
			if n := len(t.readings) - 1; n >= 0 && t.times[k-1]-t.times[t.readings[n].at] < guard {
				t.readings = t.readings[:n]
			}
			for clear := t.times[k-1] + guard; k+1 < end && t.times[k] < clear; {
				k++
			}
			from, sum = k, 0
			continue
		}
		sum += (a + b) / 2 * (t.times[k] - t.times[k-1])
		if span := t.times[k] - t.times[from]; span >= thrustSpan {
			t.readings = append(t.readings, reading{at: k, from: from, of: thrustChannel, value: sum / span})
			k++ // no sample counts in two spans
			from, sum = k, 0
		}
	}
}

// beginBench refuses a log whose impulse is not that of the charge.
func (f *fitter) beginBench(t *track) error {
	expected := f.predictor.impulse(t, &t.flight.Rocket, &t.flight.Site, t.lift)
	if math.IsNaN(expected) {
		return fmt.Errorf("the jets are over within the first interval, want times in s: is the unit right?")
	}
	if !(t.top < unlike*expected && t.top > expected/unlike) {
		return fmt.Errorf("an impulse of %s N s, the brief's charge gives %s N s: too far apart for a fit, want the log's unit and the brief's conditions checked", short(t.top), short(expected))
	}
	return nil
}

// press computes the thrust on a stand at the log's times, release being at lift
// in the log's time: thrust to p.u, impulse so far to p.rose.
func (p *predictor) press(t *track, r *model.Rocket, site *model.Site, lift float64) bool {
	p.grid, p.own = p.grid[:0], p.own[:0]
	for i, at := range t.times {
		p.own = append(p.own, i)
		p.grid = append(p.grid, at-lift)
	}
	p.size()
	p.samples = model.Bench(p.samples[:0], r, site, p.grid, p.scratch)
	if len(p.samples) == 0 {
		return false
	}
	next, sum := 0, 0.0
	for i, at := range p.grid {
		p.u[i] = 0
		if at >= 0 && next < len(p.samples) {
			p.u[i], sum = p.samples[next].Thrust, p.samples[next].Impulse
			next++
		}
		p.rose[i] = sum
	}
	return true
}

// impulse returns that of a stand over the log's times, in N s; NaN where there
// is none.
func (p *predictor) impulse(t *track, r *model.Rocket, site *model.Site, lift float64) float64 {
	if !p.press(t, r, site, lift) {
		return math.NaN()
	}
	return p.rose[len(p.rose)-1]
}
