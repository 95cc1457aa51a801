package brief

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"ullage/model"
	"ullage/model/air"
)

// title reads the keys outside the sections.
func (p *parser) title(b *Brief) {
	if n := p.root.child("title"); n != nil {
		if n.kind != text {
			p.fault(n, n.shown(), "a text")
		}
		b.Title = n.text
	}
	if n := p.root.child("units"); n != nil {
		if n.kind != text || !slices.Contains(unitSystems, n.text) {
			p.fault(n, n.shown(), oneOf(unitSystems))
		}
		b.US = n.text == "us"
	}
}

// unitSystems are those that a pad card may be written in.
var unitSystems = []string{"metric", "us"}

const proofDateKey = "chamber.proof_date"

// proofDate reads on which day the chamber was tested: a date, or a text that is
// one.
func (p *parser) proofDate(b *Brief) {
	n := p.find(proofDateKey)
	if n == nil {
		return
	}
	if _, err := time.Parse(time.DateOnly, n.text); err != nil {
		p.fault(n, n.shown(), "a date such as 2026-03-14")
		return
	}
	b.ProofDate = n.text
}

// sections reads the numbers, words and counters that stand in a section once.
func (p *parser) sections(b *Brief) {
	c := craft{&b.Rocket, &b.Site}
	for _, q := range singleNumbers() {
		v, ok := p.number(q)
		if !ok {
			continue
		}
		p.values[q.Key] = v
		if q.field != nil || q.count != nil {
			q.Set(c.Rocket, c.Site, v)
		}
	}
	for _, w := range words {
		if i := p.word(w); i > 0 {
			w.set(&b.Rocket, i)
		}
	}
	for _, c := range counters {
		c.set(b, p.counter(c))
	}
	p.proofDate(b)
	p.searchable(&b.Search)
	b.Field = Field{p.orInf("site.field_upwind"), p.orInf("site.field_downwind"), p.orInf("site.ceiling")}
	p.materials(&b.Rocket)
	b.Sheet = p.find(finMaterial) != nil
	p.needed(b.Rocket.Recovery.Canopy > 0, "recovery.delay")
	p.needed(p.find(canopyMass) != nil, "recovery.station")
	p.standardAir(&b.Site)
	b.Rocket.Payload.Name, b.Rocket.Ballast.Name = "payload", "ballast"
	if b.Rocket.Weighed.Mass > 0 {
		if p.find("weighed.payload") == nil {
			b.Rocket.Weighed.Payload = p.written("payload.mass")
		}
		if p.find("weighed.ballast") == nil {
			b.Rocket.Weighed.Ballast = p.written("ballast.mass")
		}
		if p.find("weighed.canopy") == nil {
			b.Rocket.Weighed.Canopy = p.written(canopyMass)
		}
	}
}

// needed reports that a key is missing where others ask for it.
func (p *parser) needed(asked bool, key string) {
	if asked && p.find(key) == nil {
		p.missing(key, p.measureOf(QuantityByKey(key)).want())
	}
}

// orInf returns the value of a key, or +Inf where there is none.
func (p *parser) orInf(key string) float64 {
	if v, ok := p.values[key]; ok {
		return v
	}
	return math.Inf(1)
}

// number returns the value of a key that is there once, or its fallback, and
// whether there is one.
func (p *parser) number(q *Quantity) (float64, bool) {
	if n := p.find(q.Key); n != nil {
		p.places[q.Key] = n.at
		return p.valid(n, q)
	}
	switch {
	case q.fallback == none || q.fallback == computed || p.leftOut(q.Key):
		return 0, false
	case q.fallback == "":
		want, own := unfounded[q.Key]
		if !own {
			want = p.measureOf(q).want()
		}
		p.missing(q.Key, want)
		return 0, false
	}
	return mustRead(q.fallback, q.Unit), true
}

// unfounded says what is wanted of keys for which an example would be a danger:
// someone may pump up a chamber to it.
var unfounded = map[string]string{
	"chamber.proof":    "the gauge pressure that this chamber, full of water, was tested to; one never tested gets no pressure",
	"chamber.pressure": "a gauge pressure, at most chamber.proof over 1.5",
}

// leftOut reports whether a key belongs to an optional table that is not there.
func (p *parser) leftOut(key string) bool {
	return slices.Contains(optionalTables, parentOf(key)) && p.find(parentOf(key)) == nil
}

// word returns which of its names a word has, from 1, or its fallback, or 0.
func (p *parser) word(w word) int {
	n := p.find(w.key)
	if n == nil {
		if w.fallback == 0 {
			p.missing(w.key, oneOf(w.names))
		}
		return w.fallback
	}
	i := slices.Index(w.names, n.text)
	if n.kind != text || i < 0 {
		p.fault(n, n.shown(), oneOf(w.names))
		return 0
	}
	return i + 1
}

func (p *parser) counter(c counter) int64 {
	n := p.find(c.key)
	if n == nil {
		return c.fallback
	}
	v, err := strconv.ParseInt(n.text, 0, 64)
	if n.kind != number || err != nil {
		p.fault(n, n.shown(), "a whole number")
		return 0
	}
	if v < c.min || v > c.max {
		p.fault(n, n.text, strconv.FormatInt(c.min, 10)+" to "+strconv.FormatInt(c.max, 10))
		return c.fallback // what is worked out from it ends
	}
	return v
}

// leastPopulation is the fewest designs that the search's operators can breed
// from.
const leastPopulation = 4

// searchable reports islands and populations that no search can be made of.
func (p *parser) searchable(s *Search) {
	if n := p.find("search.population"); n != nil && s.Population > 0 && s.Population < leastPopulation {
		p.fault(n, n.text, fmt.Sprintf("0 or at least %d", leastPopulation))
	}
	islands, flights := p.find("search.islands"), p.find("search.flights")
	if islands == nil || s.Flights < 1 || s.Islands <= s.Flights {
		return
	}
	if flights != nil && later(flights.at, islands.at) {
		p.fault(flights, flights.text, "at least search.islands, "+islands.text)
	} else {
		p.fault(islands, islands.text, "at most search.flights, "+strconv.Itoa(s.Flights))
	}
}

// standardAir gives the site what the brief does not: the standard atmosphere
// at its elevation, the pressure without regard to a temperature that is given.
func (p *parser) standardAir(s *model.Site) {
	h := p.values[elevation.Key]
	if p.find("site.temperature") == nil {
		s.Temperature = air.StandardTemperature(h)
	}
	if p.find("site.pressure") == nil {
		s.Pressure = air.StandardPressure(h)
	}
}

// written returns a mass, in kg, as the file has it, before --set: what was
// aboard when the rocket was weighed. A fault in it has been or will be told.
func (p *parser) written(key string) float64 {
	n := p.find(key)
	if n == nil {
		return 0
	}
	if n.at.set == "" {
		return p.values[key]
	}
	if n.was == nil {
		return 0
	}
	v, _ := p.valid(n.was, QuantityByKey(key))
	return v
}

// parts reads every [[part]].
func (p *parser) parts(b *Brief) {
	const want = "at least one [[part]] with mass and station"
	parts := p.root.child("part")
	if parts == nil {
		p.faultAt(p.root.at, "part", "missing", want)
		return
	}
	if parts.kind != list || len(parts.items) == 0 {
		p.fault(parts, parts.shown(), want)
		return
	}
	for _, n := range parts.items {
		if n.kind != table {
			p.fault(n, n.shown(), "a table with mass and station")
			continue
		}
		b.Rocket.Parts = append(b.Rocket.Parts, p.part(n))
	}
}

func (p *parser) part(n *node) model.Part {
	r := model.Rocket{}
	meant := p.partKeys(n, &r.Payload)
	for i := range partNumbers {
		q := &partNumbers[i]
		c := n.child(q.Key)
		switch {
		case c != nil:
			if v, ok := p.valid(c, q); ok {
				p.values[c.key], p.places[c.key] = v, c.at
				q.Set(&r, nil, v)
			}
		case q.fallback == "" && !slices.Contains(meant, q.Key):
			p.faultAt(n.at, n.key+"."+q.Key, "missing", p.measureOf(q).want())
		}
	}
	return r.Payload
}

// partKeys reads a part's name, reports its unknown keys and returns what they
// were meant to be.
func (p *parser) partKeys(n *node, part *model.Part) (meant []string) {
	known := []string{"name"}
	for i := range partNumbers {
		known = append(known, partNumbers[i].Key)
	}
	for _, c := range n.items {
		if name := lastName(c.key); !slices.Contains(known, name) {
			want := suggest(name, known, "")
			meant = append(meant, want)
			p.unknown(c.at, c.key, want)
		} else if name == "name" && c.kind != text {
			p.fault(c, c.shown(), "a text")
		} else if name == "name" {
			part.Name = c.text
		}
	}
	return meant
}
