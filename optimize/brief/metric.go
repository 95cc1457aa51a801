package brief

import (
	"slices"

	"ullage/model"
)

// A Metric is a number to aim for or to limit: a figure of the flight or a
// quantity of the rocket or the site.
type Metric struct {
	model.FigureInfo // Key as in a brief, SI Unit, Doc

	Figure   model.Figure
	Quantity *Quantity // instead of Figure, where it is not nil
	Gust     bool      // instead of Figure: the incidence in a gust, which takes flights of its own
}

// Value returns the number in SI, and whether there is one: a figure may be
// absent from a flight, and what takes flights of its own is. It does not
// allocate.
func (m *Metric) Value(r *model.Rocket, s *model.Site, f *model.Flight) (float64, bool) {
	if m.Quantity != nil {
		return m.Quantity.Value(r, s), true
	}
	if m.Gust {
		return 0, false
	}
	return f.Figure(m.Figure)
}

// What faults say may be varied and scattered, aimed for and limited.
const (
	aQuantity = "a quantity such as fins.span"
	aMetric   = "a figure such as apogee or a quantity such as fins.span"
)

// metricKeys lists what may be a goal or a limit.
func metricKeys() []string {
	var keys []string
	for _, f := range model.Figures {
		keys = append(keys, f.Key)
	}
	return append(keys, quantityKeys()...)
}

func quantityKeys() []string {
	keys := make([]string, len(quantities))
	for i, q := range quantities {
		keys[i] = q.Key
	}
	return keys
}

// variedKeys lists what may be varied.
func variedKeys() []string {
	keys := quantityKeys()
	for i := range named {
		keys = append(keys, named[i].Key)
	}
	return keys
}

// MetricByKey returns the figure or the quantity with that key, and whether
// there is one.
func MetricByKey(key string) (Metric, bool) {
	if q := QuantityByKey(key); q != nil && q.Names == nil {
		return Metric{FigureInfo: model.FigureInfo{Key: q.Key, Unit: q.Unit, Doc: q.Doc}, Quantity: q}, true
	}
	if key == gustKey {
		i := slices.IndexFunc(Extras[:], func(e model.FigureInfo) bool { return e.Key == gustKey })
		return Metric{FigureInfo: Extras[i], Gust: true}, true
	}
	id, ok := model.FigureByKey(key)
	if !ok {
		return Metric{}, false
	}
	return FigureMetric(id), true
}

// FigureMetric returns the metric of a figure.
func FigureMetric(id model.Figure) Metric {
	return Metric{FigureInfo: model.Figures[id], Figure: id}
}

// measureOfMetric is how values of a metric are read.
func (p *parser) measureOfMetric(m *Metric) measure {
	if m.Quantity != nil {
		return p.measureOf(m.Quantity)
	}
	return measure{unit: m.Unit, example: dimensions[m.Unit].example}
}
