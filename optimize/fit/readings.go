package fit

import (
	"math"
)

// takeReadings lists what takes part: from two seconds before lift-off to just
// above the ground, thinned where there is more than is of use.
func (t *track) takeReadings(keep []int) {
	from := t.lift - 2
	last := 0
	floor := max(risen, 0.03*t.top)
	for k, i := range keep {
		if t.heights[i] > floor {
			last = k
		}
	}
	var used []int
	for _, i := range keep[:last+1] {
		if t.times[i] >= from {
			used = append(used, i)
		}
	}
	every := (len(used) + mostTimes - 1) / mostTimes
	if every > 1 {
		t.note("one sample of %d used", every)
	}
	rows := t.flight.Log.Rows
	var times, heights []float64
	for n := 0; n < len(used); n += every {
		i := used[n]
		at := len(times)
		times, heights = append(times, t.times[i]), append(heights, t.heights[i])
		t.readings = append(t.readings, reading{at: at, of: heightChannel, value: t.heights[i]})
		if v := rows[i][Speed]; t.flight.Log.Has[Speed] && !math.IsNaN(v) {
			t.readings = append(t.readings, reading{at: at, of: speedChannel, value: v})
		}
	}
	t.takeAccelerations(used, every, len(times))
	t.times, t.heights = times, heights
}

// takeAccelerations takes means of what was felt, over spans of a few samples
// inside the thrust: a mean is the gain of speed over the span, which does not
// jump where the thrust does. In the coast a sensor feels little but its own
// zero, and under the canopy the rocket swings.
func (t *track) takeAccelerations(used []int, every, n int) {
	if !t.flight.Log.Has[Acceleration] {
		return
	}
	rows := t.flight.Log.Rows
	open, from, sum := false, 0, 0.0 // a span
	for k := 0; k < n; k++ {
		i := used[k*every]
		if t.times[i] > t.topTime || !(rows[i][Acceleration] > leastThrust) { // also NaN
			open = false
			continue
		}
		if !open {
			open, from, sum = true, k, 0
			continue
		}
		last := used[(k-1)*every]
		if a, b := rows[last][Acceleration], rows[i][Acceleration]; math.Abs(a-b) > jump*max(a, b) {
			from, sum = k, 0 // the thrust jumped in between, and the mean is anybody's guess
			continue
		}
		sum += between(rows[last][Acceleration], rows[i][Acceleration]) * (t.times[i] - t.times[last])
		if span := t.times[i] - t.times[used[from*every]]; span >= leastSpan {
			t.readings = append(t.readings, reading{at: k, from: from, of: feltChannel, value: sum / span})
			from, sum = k, 0
		}
	}
}

// between is the mean of a thrust that decays from a to b as a blow-down does,
// exponentially: their logarithmic mean. A straight line would be 1 % high
// where a third is lost from one sample to the next.
func between(a, b float64) float64 {
	if math.Abs(a-b) < 1e-3*a { // where the quotient loses its digits
		return (a + b) / 2
	}
	return (a - b) / math.Log(a/b)
}

// firstScales guesses the deviations of the channels, to begin with.
func (t *track) firstScales() {
	all := make([]int, len(t.times))
	for i := range all {
		all[i] = i
	}
	t.scales = [channels]float64{heightChannel: t.noiseOf(all), speedChannel: 1, feltChannel: 5}
}
