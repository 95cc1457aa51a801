package brief

import (
	"slices"
	"strings"
)

// fixed reports whether --set gives a quantity.
func (p *parser) fixed(key string) bool {
	n := p.find(key)
	return n != nil && n.at.set != ""
}

// only reports the items of a table that are none of names, and whether there
// are none.
func (p *parser) only(n *node, names ...string) bool {
	ok := true
	for _, c := range n.items {
		if !slices.Contains(names, lastName(c.key)) {
			p.unknown(c.at, c.key, suggest(lastName(c.key), names, ""))
			ok = false
		}
	}
	return ok
}

// profileKeys are the keys that a measured volume speaks for.
var profileKeys = []string{"chamber.bore", "chamber.cylinder", "chamber.end"}

// vary reads [vary].
func (p *parser) vary(b *Brief) {
	for _, e := range p.entries("vary", variedKeys(), aQuantity) {
		v := Vary{Quantity: QuantityByKey(e.key)}
		if p.find(e.key) == nil {
			p.fault(e.node, "no value of its own", e.key+" in its section")
		}
		sound := p.varied(e.node, &v)
		if sound && v.Masses != nil {
			p.massOf(e.node, &v, b)
		}
		if !sound || p.fixed(e.key) {
			continue
		}
		if p.find("weighed") != nil && strings.HasPrefix(e.key, "fins.") {
			p.fault(e.node, "varied, and the rocket is weighed", "the fins as they were built")
		}
		if p.find("chamber.volume") != nil && slices.Contains(profileKeys, e.key) {
			p.fault(e.node, "varied, and the chamber's volume is measured", "the chamber as it was measured, or no chamber.volume")
		}
		if strings.HasPrefix(e.key, "recovery.") && p.find("recovery.canopy") == nil {
			p.fault(e.node, "varied, and there is no canopy", "recovery.canopy")
		}
		b.Vary = append(b.Vary, v)
	}
}

// varied reads what one quantity may become and reports whether it could.
func (p *parser) varied(n *node, v *Vary) bool {
	const want = "{ from = …, to = … } or { choices = [ … ] }"
	if n.kind != table {
		p.fault(n, n.shown(), want)
		return false
	}
	if !p.only(n, "from", "to", "step", "choices") {
		return false
	}
	from, to, step, choices := n.child("from"), n.child("to"), n.child("step"), n.child("choices")
	switch {
	case choices != nil && (from != nil || to != nil || step != nil):
		p.fault(choices, "given with from, to or step", "one or the other")
	case choices != nil:
		return p.choices(choices, v)
	case v.Allowed != nil:
		p.fault(n, "from and to", "choices of "+v.rangeText())
	case from == nil || to == nil:
		p.fault(n, "no from and to", want)
	default:
		return p.span(from, to, step, v)
	}
	return false
}

// choices reads the only values that a quantity may have.
func (p *parser) choices(n *node, v *Vary) bool {
	if n.kind != list || len(n.items) == 0 {
		p.fault(n, n.shown(), "a list of values")
		return false
	}
	ok := true
	if v.Key == canopyKey && n.items[0].kind == table {
		return p.canopies(n, v)
	}
	for _, c := range n.items {
		x, sound := p.valid(c, v.Quantity)
		ok = ok && sound
		if sound && slices.Contains(v.Choices, x) {
			p.fault(c, c.shown()+" again", "each choice once")
		}
		v.Choices = append(v.Choices, x)
	}
	return ok
}

// span reads the range of a quantity and its step.
func (p *parser) span(from, to, step *node, v *Vary) bool {
	low, ok1 := p.valid(from, v.Quantity)
	high, ok2 := p.valid(to, v.Quantity)
	v.From, v.To = low, high
	if !ok1 || !ok2 {
		return false
	}
	if low >= high {
		n := to
		if later(from.at, to.at) {
			n = from
		}
		p.fault(n, "from is "+from.text+", to "+to.text, "from below to")
		return false
	}
	if step == nil {
		return true
	}
	m := p.measureOf(v.Quantity)
	m.difference = true
	size, ok := p.read(step, m)
	if !ok {
		return false
	}
	if size <= 0 || size >= high-low {
		p.fault(step, step.text, "above 0 and smaller than the range")
	}
	v.Step = size
	return true
}
