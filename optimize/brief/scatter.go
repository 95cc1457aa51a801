package brief

import (
	"fmt"
	"slices"
)

// A Scatter is one quantity that differs from flight to flight, or from day to
// day, normally distributed.
type Scatter struct {
	*Quantity
	Deviation float64 // one standard deviation: SI, or a share of the nominal value
	Relative  bool    // Deviation is a share
}

// Sigma returns one standard deviation, in SI, around a nominal value.
func (s *Scatter) Sigma(nominal float64) float64 {
	if s.Relative {
		return s.Deviation * max(nominal, -nominal)
	}
	return s.Deviation
}

// dayTable holds what is drawn once for all flights of a day.
const dayTable = "scatter.day"

// scatter reads [scatter] and [scatter.day].
func (p *parser) scatter(b *Brief) {
	b.Scatter = p.scatters("scatter")
	if n := p.find(dayTable); n != nil && n.kind != table {
		p.fault(n, n.shown(), "a table")
	}
	b.Day = p.scatters(dayTable)
}

func (p *parser) scatters(section string) (all []Scatter) {
	for _, e := range p.entries(section, quantityKeys(), aQuantity) {
		s := Scatter{Quantity: QuantityByKey(e.key)}
		switch {
		case s.whole():
			p.fault(e.node, "a count does not scatter", "it left out")
		case p.absent(s.Quantity):
			p.fault(e.node, "no value of its own", e.key+" in its section")
		case p.deviation(e.node, &s):
			all = append(all, s)
		}
	}
	return all
}

// absent reports whether the rocket lacks what a quantity describes.
func (p *parser) absent(q *Quantity) bool {
	none := q.fallback == none || slices.Contains(optionalTables, parentOf(q.Key))
	return none && p.find(q.Key) == nil
}

// mostRelative is the largest deviation that is a share of the nominal value.
const mostRelative = 10

// deviation reads one standard deviation and reports whether it could. Much
// beyond the range of validity there would be nothing left to draw from.
func (p *parser) deviation(n *node, s *Scatter) bool {
	m := p.measureOf(s.Quantity)
	m.difference = true
	most := s.Max - s.Min
	if _, name, _ := amount(n.text); n.kind == text && percent.means(name) {
		m, most, s.Relative = measure{unit: "1", example: `"5 %"`}, mostRelative, true
	}
	v, ok := p.read(n, m)
	if !ok {
		return false
	}
	if s.Deviation = v; v <= 0 {
		p.fault(n, n.text, "above 0")
		return false
	}
	if v > most {
		p.fault(n, n.text, "at most as much as its range of validity, "+s.rangeText()+fmt.Sprintf(", or %d %%", 100*mostRelative))
		return false
	}
	return true
}
