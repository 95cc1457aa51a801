package fit

import (
	"math"
)

// bends returns how far each of the kept heights is off the line through its
// neighbours, and that over the deviation that noise of size 1 gives it.
func (t *track) bends(kept []int) (bend, unit []float64) {
	bend, unit = make([]float64, len(kept)), make([]float64, len(kept))
	for k := 1; k < len(kept)-1; k++ {
		a, b, c := kept[k-1], kept[k], kept[k+1]
		u := (t.times[b] - t.times[a]) / (t.times[c] - t.times[a])
		bend[k] = t.heights[b] - (1-u)*t.heights[a] - u*t.heights[c]
		unit[k] = bend[k] / math.Sqrt(1+(1-u)*(1-u)+u*u)
	}
	return bend, unit
}

// spikes returns the samples to keep: all but single ones that stand off the
// line through their neighbours by more than noise or flight can do. What is
// off for longer is left to the loss.
func (t *track) spikes() (keep []int) {
	for i := range t.times {
		keep = append(keep, i)
	}
	dropped := 0
	for range 10 {
		bend, unit := t.bends(keep)
		noise := spread(unit[1 : len(unit)-1])
		var next []int
		for k, i := range keep {
			if k > 0 && k < len(keep)-1 {
				span := t.times[keep[k+1]] - t.times[keep[k-1]]
				limit := max(spikeFloor, spikeSpan*noise) + spikeRate*span*span/8
				size := math.Abs(bend[k])
				if size > limit && size >= math.Abs(bend[k-1]) && size >= math.Abs(bend[k+1]) {
					dropped++
					continue
				}
			}
			next = append(next, i)
		}
		if len(next) == len(keep) || len(next) < leastRows {
			break
		}
		keep = next
	}
	if dropped > 0 {
		t.note("%s left out", plural(dropped, "spike"))
	}
	return keep
}

// noiseOf is the deviation of the noise that neighbours among the kept samples
// show, at least a tenth of a metre: a filter or coarse steps hide it, as do
// fewer than three samples.
func (t *track) noiseOf(keep []int) float64 {
	const least = 0.1 // m
	if len(keep) < 3 {
		return least
	}
	_, unit := t.bends(keep)
	return max(spread(unit[1:len(unit)-1]), least)
}
