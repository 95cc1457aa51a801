package brief

import (
	"fmt"
	"math"
	"slices"

	"ullage/model"
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
// settings do not count: every design is flown once and as it is set.
func (b *Brief) Keeper(keys []string) (func(x []float64, k *Kept), error) {
	known := metricKeys()
	metrics := make([]Metric, len(keys))
	for i, key := range keys {
		if !slices.Contains(known, key) {
			return nil, fmt.Errorf("%q: want a figure or a quantity", key)
		}
		metrics[i] = metricByKey(key)
	}
	scratch := model.NewScratch()
	rocket, site := b.Rocket, b.Site
	return func(x []float64, k *Kept) {
		k.Numbers, k.Missed = slices.Grow(k.Numbers[:0], len(metrics)), slices.Grow(k.Missed[:0], len(b.Limits))
		k.Feasible, k.Outcome = false, Panicked
		defer func() {
			if k.Outcome == Panicked {
				_ = recover()
				scratch = model.NewScratch() // the old one is suspect
				k.Feasible = false
				k.Numbers, k.Missed = k.Numbers[:len(metrics)], k.Missed[:len(b.Limits)]
				clear(k.Missed)
				for i := range k.Numbers {
					k.Numbers[i] = math.NaN()
				}
			}
		}()
		b.place(x, &rocket, &site)
		flight := model.Fly(&rocket, &site, scratch)
		for i := range metrics {
			v, ok := metrics[i].Value(&rocket, &site, &flight)
			if !ok {
				v = math.NaN()
			}
			k.Numbers = append(k.Numbers, v)
		}
		landed := flight.Outcome == model.Landed
		k.Feasible = landed
		for i := range b.Limits {
			l := &b.Limits[i]
			v, ok := l.Metric.Value(&rocket, &site, &flight)
			missed := !ok || l.room(v) < 0
			k.Missed = append(k.Missed, missed && landed)
			k.Feasible = k.Feasible && !missed
		}
		k.Outcome = flight.Outcome.String()
	}, nil
}
