package brief

import (
	"math"
	"slices"
	"strconv"

	"ullage/model"
)

// measure reads a number with its unit, or a bare one where the dimension has
// none.
type measure struct {
	unit       string  // SI
	example    string  // of what would do, as in a brief, quoted where it is a text
	count      bool    // a number of things
	difference bool    // a step or a deviation: temperatures have no zero
	water      float64 // m³ of the chamber where an amount of water will do too; NaN when its size is faulty
}

func (m measure) want() string {
	if m.count {
		return "a whole number such as " + m.example
	}
	if m.water != 0 {
		return "a ratio such as " + m.example + `, or an amount of water such as "660 ml" or "660 g"`
	}
	return dimensions[m.unit].name + " such as " + m.example
}

// read returns the SI value of a node; it reports what is wrong with it.
func (p *parser) read(n *node, m measure) (float64, bool) {
	switch n.kind {
	case number:
		v, ok := bare(n.text)
		if !ok {
			p.fault(n, n.text, m.want())
			return 0, false
		}
		if m.unit != "1" && m.unit != "cal" {
			p.fault(n, n.text+" has no unit", m.want())
			return 0, false
		}
		return v, true
	case text:
		return p.readText(n, m)
	}
	p.fault(n, n.shown(), m.want())
	return 0, false
}

func (p *parser) readText(n *node, m measure) (float64, bool) {
	number, name, ok := amount(n.text)
	if either, unclear := eitherWay(n.text); unclear {
		p.fault(n, n.shown()+" has a comma that may part thousands", strconv.Quote(either[0])+" or "+strconv.Quote(either[1]))
		return 0, false
	}
	if !ok || name == "" {
		p.fault(n, n.shown(), m.want())
		return 0, false
	}
	if u, ok := unitOf(name, m.unit); ok {
		return p.finite(n, m, u.read(number, m.difference))
	}
	if m.water != 0 {
		if u, ok := unitOf(name, "m3"); ok {
			return p.share(n, m, u.read(number, false))
		}
		if u, ok := unitOf(name, "kg"); ok {
			return p.share(n, m, u.read(number, false)/model.WaterDensity)
		}
	}
	if is, ok := whatIs(name); ok {
		p.fault(n, n.shown()+" is "+is, m.want())
	} else {
		p.fault(n, n.shown()+" has no known unit", m.known(number, name))
	}
	return 0, false
}

// known says what would do in place of a number with an unknown unit: the same
// with the unit that most likely was meant, or any of the right kind.
func (m measure) known(number, name string) string {
	kinds := []string{m.unit}
	if m.water != 0 {
		kinds = append(kinds, "m3", "kg")
	}
	for _, si := range kinds {
		if near := nearestUnit(name, si); near != "" {
			return strconv.Quote(number + " " + near)
		}
	}
	if m.unit == "1" {
		return m.want()
	}
	return oneOf(unitNames(m.unit))
}

// share turns an amount of water, in m³, into a fill, unless the chamber's size
// is faulty, which is told already.
func (p *parser) share(n *node, m measure, water float64) (float64, bool) {
	if math.IsNaN(m.water) {
		return 0, false
	}
	return p.finite(n, m, water/m.water)
}

// finite reports a number that its unit carries beyond all floats.
func (p *parser) finite(n *node, m measure, v float64) (float64, bool) {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		p.fault(n, n.shown(), m.want())
		return 0, false
	}
	return v, true
}

// measureOf is how values of a quantity are read.
func (p *parser) measureOf(q *Quantity) measure {
	m := measure{unit: q.Unit, example: q.example, count: q.whole()}
	if _, unit, _ := amount(q.example); unit != "" {
		m.example = strconv.Quote(q.example)
	}
	if q.Key == "chamber.fill" {
		m.water = p.volume()
	}
	return m
}

// valid reads a value of a quantity and holds it to the range of validity.
func (p *parser) valid(n *node, q *Quantity) (float64, bool) {
	if q.Names != nil {
		i := slices.Index(q.Names, n.text)
		if n.kind != text || i < 0 {
			p.fault(n, n.shown(), q.rangeText())
		}
		return float64(i + 1), n.kind == text && i >= 0
	}
	v, ok := p.read(n, p.measureOf(q))
	if ok && !q.Holds(v) {
		p.fault(n, n.shown(), q.rangeText())
		return 0, false
	}
	return v, ok
}

// volume returns the chamber's, in m³, as measured or summed, or NaN where its
// size has a fault.
func (p *parser) volume() float64 {
	if p.find("chamber.volume") != nil {
		if v, ok := p.values["chamber.volume"]; ok {
			return v
		}
		return math.NaN()
	}
	return p.summedVolume()
}

// summedVolume returns that of bore, cylinder and ends, in m³, or NaN.
func (p *parser) summedVolume() float64 {
	bore, ok1 := p.values["chamber.bore"]
	cylinder, ok2 := p.values["chamber.cylinder"]
	end, ok3 := p.values["chamber.end"]
	if !ok1 || !ok2 || !ok3 {
		return math.NaN()
	}
	return model.SummedVolume(&model.Chamber{Bore: bore, Cylinder: cylinder, End: end})
}
