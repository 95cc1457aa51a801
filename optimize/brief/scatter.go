package brief

import "slices"

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
		s := Scatter{Quantity: quantityByKey(e.key)}
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

// deviation reads one standard deviation and reports whether it could.
func (p *parser) deviation(n *node, s *Scatter) bool {
	v, name, _ := amount(n.text)
	if n.kind == text && name == "%" {
		s.Deviation, s.Relative = v/100, true
	} else {
		m := p.measureOf(s.Quantity)
		m.difference = true
		d, ok := p.read(n, m)
		if !ok {
			return false
		}
		s.Deviation = d
	}
	if s.Deviation <= 0 {
		p.fault(n, n.text, "above 0")
		return false
	}
	return true
}
