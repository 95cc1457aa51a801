package brief

import (
	"fmt"

	"ullage/model"
)

// A side is one side of a comparison: a sum of lengths, masses or pressures.
type side struct {
	label string
	keys  []string
	value float64 // SI
}

// the returns a key as a side.
func (p *parser) the(key string) side { return side{key, []string{key}, p.values[key]} }

// crossChecks holds keys against each other.
func (p *parser) crossChecks(r *model.Rocket, at *model.Site) {
	for i := range model.Rules {
		p.rule(&model.Rules[i], r, at)
	}
	p.measuredVolume()
	p.below(p.the("chamber.pressure"), p.the("chamber.proof"))
	p.growth()
	length := p.the("body.length")
	for i := range r.Parts {
		p.atMost(p.the(fmt.Sprintf("part[%d].station", i+1)), length, "")
	}
	for _, key := range []string{"payload.station", "ballast.station", "recovery.station", "weighed.balance"} {
		p.atMost(p.the(key), length, "")
	}
	if r.Weighed.Mass > 0 {
		aboard := side{"payload and ballast together", []string{"weighed.mass"}, r.Weighed.Payload + r.Weighed.Ballast + r.Weighed.Canopy}
		p.atMost(aboard, p.the("weighed.mass"), "the rocket with both aboard")
	}
}

// rule holds a rocket to one of the model's rules of what fits into what.
func (p *parser) rule(l *model.Rule, r *model.Rocket, at *model.Site) {
	if l.Holds(r, at) {
		return
	}
	small, large := p.side(&l.Small, r, at), p.side(&l.Large, r, at)
	if l.Less {
		p.unequal(small, large, "below ", "above ", l.Want)
	} else {
		p.unequal(small, large, "at most ", "at least ", l.Want)
	}
}

// side returns a span as a side, without the keys of tables that are not there.
func (p *parser) side(l *model.Span, r *model.Rocket, at *model.Site) side {
	s := side{label: l.Label, value: l.Of(r, at)}
	for _, key := range l.Keys {
		if !p.leftOut(key) {
			s.keys = append(s.keys, key)
		}
	}
	if len(s.keys) == 1 && len(l.Keys) > 1 {
		s.label = s.keys[0]
	}
	return s
}

// measuredVolume holds a measured volume against the profile that it scales.
func (p *parser) measuredVolume() {
	const key, least, most = "chamber.volume", model.LeastShare, model.MostShare
	at, written := p.places[key]
	v, sound := p.values[key]
	profile := p.summedVolume()
	if written && sound && (v < least*profile || v > most*profile) {
		show := QuantityByKey(key).Text
		p.faultAt(at, key, show(v), fmt.Sprintf("%g to %g times the %s of bore, cylinder and ends", least, most, show(profile)))
	}
}

// growth holds how far the chamber's wall stretches against what walls do.
func (p *parser) growth() {
	const key, pressed = "chamber.growth", "chamber.pressure"
	at, written := p.places[key]
	growth, pressure := p.values[key], p.values[pressed]
	if !written || growth*pressure <= model.MostGrowth*(1+1e-9) {
		return
	}
	last := key
	if later(p.places[pressed], at) {
		at, last = p.places[pressed], pressed
	}
	p.faultAt(at, last, fmt.Sprintf("the chamber grows by %.3g %%", 100*growth*pressure),
		fmt.Sprintf("%s times %s at most %g %%", key, pressed, 100*model.MostGrowth))
}

// atMost reports small > large; want is for sides that are no keys.
func (p *parser) atMost(small, large side, want string) {
	// A chamber or a fin may end flush with the body, and sums of such lengths
	// are wrong in their last digits.
	const rounding = 1e-9
	if small.value > large.value+rounding {
		p.unequal(small, large, "at most ", "at least ", want)
	}
}

// below reports small >= large.
func (p *parser) below(small, large side) {
	if small.value >= large.value {
		p.unequal(small, large, "below ", "above ", "")
	}
}

// unequal reports, at the later of the keys, that two sides do not hold. A key
// without a sound value is absent or has been reported: then nothing is said.
func (p *parser) unequal(small, large side, relation, inverse, want string) {
	key := ""
	for _, k := range append(small.keys, large.keys...) {
		if _, sound := p.values[k]; !sound {
			return
		}
		if at, written := p.places[k]; written && (key == "" || later(at, p.places[key])) {
			key = k
		}
	}
	show := p.shown(key).Text
	low, high := show(small.value), show(large.value)
	fact := small.label + " " + low + ", " + large.label + " " + high
	switch key {
	case small.label:
		fact, want = low, relation+large.label+", "+high
	case large.label:
		fact, want = high, inverse+small.label+", "+low
	}
	p.faultAt(p.places[key], key, fact, want)
}

// shown returns the quantity whose unit a key is shown in.
func (p *parser) shown(key string) *Quantity {
	for _, q := range singleNumbers() {
		if q.Key == key {
			return q
		}
	}
	return &partNumbers[1] // the station of a part
}
