package answers

import (
	"math"
	"slices"

	"ullage/constraints"
	"ullage/optimize/brief"
)

// A Band is the range of one quantity, with all others as in the design, over
// which every limit is kept and the first goal's metric stays within bandLoss
// of the design's.
type Band struct {
	*brief.Quantity
	From, To End
}

// An End is one end of a band.
type End struct {
	Value float64 // SI
	By    string  // key of the limit or the goal that stops it; "" at the end of the range
}

// bandLoss is the share of the first goal that a band may cost.
const bandLoss = 0.01

// bands returns the band of every varied quantity at a design that keeps every
// limit, in the order of b.Vary, to one step; a quantity without steps is tried
// in two-hundredths of its range, one with choices is left out. It looks for the
// nearest end: by steps that double, then by halving.
func bands(b *brief.Brief, x []float64) []Band {
	p := newPilot(b)
	goals, slacks, ok := p.fly(x)
	if !ok || slices.ContainsFunc(slacks, func(s float64) bool { return !constraints.Kept(s) }) {
		return nil
	}
	least := goals[0] - bandLoss*math.Abs(goals[0])
	var bands []Band
	for j := range b.Vary {
		v := &b.Vary[j]
		if v.Choices != nil {
			continue
		}
		step := v.Step
		if step == 0 {
			step = (v.To - v.From) / 200
		}
		end := func(limit, step float64) End {
			y := slices.Clone(x)
			const rounding = 1e-6 // of a step, that a range may fall short of whole steps
			most := math.Floor((limit-x[j])/step + rounding)
			at := func(k float64) float64 { return x[j] + k*step }
			by := func(k float64) string {
				y[j] = at(k)
				return p.stops(y, least)
			}
			good, why := farthest(most, by)
			if why == "" && v.Step == 0 {
				return End{Value: limit} // not by steps from the design
			}
			return End{Value: at(good), By: why}
		}
		bands = append(bands, Band{Quantity: v.Quantity, From: end(v.From, -step), To: end(v.To, step)})
	}
	return bands
}

// farthest returns the largest whole k up to most to which nothing stops, and
// what stops the next; "" where k is most. by(0) stops nothing.
func farthest(most float64, by func(k float64) string) (good float64, why string) {
	bad := 0.0
	for width := 1.0; good < most; width *= 2 {
		bad = min(good+width, most)
		if why = by(bad); why != "" {
			break
		}
		good = bad
	}
	if why == "" {
		return good, ""
	}
	for bad-good > 1 {
		mid := math.Floor((good + bad) / 2)
		if stop := by(mid); stop == "" {
			good = mid
		} else {
			bad, why = mid, stop
		}
	}
	return good, why
}

// stops returns the key of what a design loses: the limit that it misses most,
// else the first goal where that falls below least; "" where it loses nothing.
func (p *pilot) stops(x []float64, least float64) string {
	goals, slacks, ok := p.fly(x)
	if !ok {
		return "a flight that cannot be flown"
	}
	worst, key := 0.0, ""
	for i, slack := range slacks {
		l := &p.b.Limits[i]
		if share := l.Scaled(slack); !constraints.Kept(slack) && share < worst {
			worst, key = share, l.Metric.Key
		}
	}
	if key == "" && goals[0] < least {
		return p.b.Goals[0].Key
	}
	return key
}
