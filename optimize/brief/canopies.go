package brief

import (
	"slices"
	"strings"
)

const (
	canopyKey  = "recovery.canopy"
	canopyMass = "recovery.mass"
)

// canopies reads choices of a canopy that each bring their mass, as in
// { canopy = "75 cm", mass = "38 g" }.
func (p *parser) canopies(n *node, v *Vary) bool {
	ok := true
	for _, c := range n.items {
		if c.kind != table {
			p.fault(c, c.shown(), `a canopy with its mass, as the others`)
			ok = false
			continue
		}
		if !p.only(c, "canopy", "mass") {
			ok = false
			continue
		}
		var values [2]float64
		for i, key := range []string{canopyKey, canopyMass} {
			q, item := QuantityByKey(key), c.child(lastName(key))
			if item == nil {
				p.faultAt(c.at, c.key+"."+lastName(key), "missing", p.measureOf(q).want())
				ok = false
				continue
			}
			x, sound := p.valid(item, q)
			values[i], ok = x, ok && sound
		}
		if ok && slices.Contains(v.Choices, values[0]) {
			p.fault(c, c.child("canopy").shown()+" again", "each choice once")
		}
		v.Choices, v.Masses = append(v.Choices, values[0]), append(v.Masses, values[1])
	}
	return ok
}

// massOf holds the brief's own canopy against a list of canopies with their
// masses. One that --set chooses from the list brings its mass; one that is not
// on it would fly with the mass of another.
func (p *parser) massOf(n *node, v *Vary, b *Brief) {
	switch {
	case p.find("vary."+canopyMass) != nil:
		p.fault(n, "its choices bring masses, and "+canopyMass+" is varied too", "one or the other")
		return
	case p.find(canopyMass) == nil:
		p.fault(n, "its choices bring masses, and there is no "+canopyMass, canopyMass+" and recovery.station in [recovery]")
		return
	}
	own, sound := p.values[canopyKey]
	written, known := p.values[canopyMass]
	if !sound || !known || p.fixed(canopyMass) {
		return
	}
	mass, listed := v.Mass(own)
	switch {
	case listed && p.fixed(canopyKey):
		b.Rocket.Recovery.Mass, p.values[canopyMass] = mass, mass
	case listed && mass != written:
		q := QuantityByKey(canopyMass)
		p.fault(p.find(canopyMass), q.Text(written)+", and "+q.Text(mass)+" among the choices of "+canopyKey, "the same in both")
	case p.fixed(canopyKey):
		var names []string
		for _, c := range v.Choices {
			names = append(names, v.Text(c))
		}
		p.fault(p.find(canopyKey), "a canopy whose mass is not told", strings.TrimSpace(oneOf(names))+`, or --set `+canopyMass+`=… too`)
	}
}
