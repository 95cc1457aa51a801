package study

import (
	"fmt"
	"math"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
)

// Kept is what a sweep keeps of a flight.
type Kept struct {
	Numbers  []float64 // of the metrics asked for, in SI; NaN where the flight has none
	Missed   []bool    // of each limit, by a flight that landed
	Feasible bool
	Outcome  string // of the model, or Panicked
}

// Panicked is the outcome of a flight that broke the program.
const Panicked = "panicked"

// Keeper returns a function that flies the design x, with scratch of its own,
// and fills k, whose Numbers are those of the metrics with these keys. Robust
// settings do not count: every design is flown once and as it is set. It errs
// where a key is that of no metric.
func Keeper(b *brief.Brief, keys []string) (func(x []float64, k *Kept), error) {
	metrics := make([]brief.Metric, len(keys))
	for i, key := range keys {
		var known bool
		if metrics[i], known = brief.MetricByKey(key); !known {
			return nil, fmt.Errorf("%q: want a figure or a quantity", key)
		}
	}
	scratch, judge := model.NewScratch(), NewJudge(b)
	rocket, site := b.Rocket, b.Site
	return func(x []float64, k *Kept) {
		k.broken(len(metrics), len(b.Limits))
		defer func() {
			if k.Outcome == Panicked {
				_ = recover()
				scratch = model.NewScratch() // the old one is suspect
				k.broken(len(metrics), len(b.Limits))
			}
		}()
		b.Place(x, &rocket, &site)
		flight := model.Fly(&rocket, &site, scratch)
		for i := range metrics {
			k.Numbers[i] = number(&metrics[i], &rocket, &site, &flight)
		}
		verdict := judge.Of(&rocket, &site, &flight)
		for i, slack := range verdict.Slacks {
			k.Missed[i] = flight.Outcome == model.Landed && !constraints.Kept(slack)
		}
		k.Feasible, k.Outcome = verdict.Kept, flight.Outcome.String()
	}, nil
}

// broken makes k that of a flight that broke the program.
func (k *Kept) broken(numbers, limits int) {
	k.Numbers, k.Missed = slices.Grow(k.Numbers[:0], numbers)[:numbers], slices.Grow(k.Missed[:0], limits)[:limits]
	for i := range k.Numbers {
		k.Numbers[i] = math.NaN()
	}
	clear(k.Missed)
	k.Feasible, k.Outcome = false, Panicked
}
