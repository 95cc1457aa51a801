package brief

import (
	"slices"
	"strconv"
	"strings"
)

// A parser turns nodes into a Brief and collects what is wrong with them.
type parser struct {
	root   *node
	faults []fault
	values map[string]float64 // SI, of the numbers that are sound, by key; fallbacks too
	places map[string]place   // of the numbers that were written, by key
	missed map[string]bool    // missing keys that have been reported
}

func (p *parser) find(key string) *node { return p.root.find(key) }

func (p *parser) fault(n *node, fact, want string) { p.faultAt(n.at, n.key, fact, want) }

func (p *parser) faultAt(at place, key, fact, want string) {
	p.faults = append(p.faults, fault{at: at, key: key, fact: fact, want: want})
}

// missing reports the outermost absent table or key on the way to key, once,
// where its table begins.
func (p *parser) missing(key, want string) {
	n := p.root
	for {
		rest := strings.TrimPrefix(strings.TrimPrefix(key, n.key), ".")
		name, below, deeper := strings.Cut(rest, ".")
		c := n.child(name)
		if c != nil && deeper {
			if c.kind != table {
				return // reported as no table
			}
			n = c
			continue
		}
		absent := strings.TrimSuffix(key, "."+below)
		if !p.missed[absent] {
			p.missed[absent] = true
			if deeper {
				want = "a table"
			}
			p.faultAt(n.at, absent, "missing", want)
		}
		return
	}
}

// override puts each "key=value" into the tree, as if it had been written.
func (p *parser) override(set []string) {
	for i, arg := range set {
		at := place{set: arg, line: i}
		if strings.TrimSpace(arg) == "" {
			at.set = strconv.Quote(arg) // so that it is seen
		}
		key, value, ok := strings.Cut(arg, "=")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		if !ok {
			p.faultAt(at, "", `no "="`, "key=value")
			continue
		}
		if known := singleKeys(); isTable(key, known) {
			p.faultAt(at, key, "a table", "one of its keys")
			continue
		} else if !slices.Contains(known, key) {
			p.unknown(at, key, suggest(key, known, ""))
			continue
		}
		v := &node{key: key, at: at, kind: text, text: value}
		if n, unit, ok := amount(value); ok && unit == "" {
			v.kind, v.text = number, n
		}
		p.replace(v)
	}
}

// replace puts a node where its key says and keeps what was there in was.
func (p *parser) replace(v *node) {
	n := p.root
	for name := range strings.SplitSeq(parentOf(v.key), ".") {
		c := n.child(name)
		if c == nil {
			c = n.add(name, table, v.at)
		}
		if c.kind != table {
			return // reported as no table
		}
		n = c
	}
	for i, c := range n.items {
		if c.key != v.key {
			continue
		}
		if c.at.set != "" {
			p.fault(v, "given twice", "it once")
		}
		v.was, n.items[i] = c, v
		return
	}
	n.items = append(n.items, v)
}

// singleKeys lists the keys that hold one value and stand in a section once.
func singleKeys() []string {
	var keys []string
	for _, q := range singleNumbers() {
		keys = append(keys, q.Key)
	}
	for _, w := range words {
		keys = append(keys, w.key)
	}
	for _, c := range counters {
		keys = append(keys, c.key)
	}
	return append(keys, proofDateKey)
}

// singleNumbers lists the numbers of the sections that are there once.
func singleNumbers() []*Quantity {
	all := []*Quantity{&elevation}
	for i := range quantities {
		all = append(all, &quantities[i])
	}
	for i := range weighed {
		all = append(all, &weighed[i])
	}
	for i := range field {
		all = append(all, &field[i])
	}
	return append(all, &confidence)
}

// keys reports unknown keys and tables, and values where tables belong.
func (p *parser) keys() {
	known := singleKeys()
	for _, n := range p.root.items {
		switch {
		case n.key == "title", n.key == "units", n.key == classSection:
		case !slices.Contains(sections, n.key):
			p.unknown(n.at, n.key, suggest(n.key, append([]string{"title", "units", classSection}, sections...), ""))
		case n.key == "part":
		case n.kind != table:
			p.fault(n, n.shown(), "a table")
		case !slices.Contains([]string{"vary", "goals", "limits", "scatter"}, n.key):
			p.keysOf(n, known)
		}
	}
}

func (p *parser) keysOf(n *node, known []string) {
	for _, c := range n.items {
		switch {
		case slices.Contains(known, c.key):
		case !isTable(c.key, known):
			p.unknown(c.at, c.key, suggest(c.key, known, ""))
		case c.kind != table:
			p.fault(c, c.shown(), "a table")
		default:
			p.keysOf(c, known)
		}
	}
}

// isTable reports whether some known key stands below this one.
func isTable(key string, known []string) bool {
	return slices.ContainsFunc(known, func(k string) bool { return strings.HasPrefix(k, key+".") })
}

// unknown reports a key that is none of known. What it was meant to be is not
// reported as missing: that would tell one slip twice.
func (p *parser) unknown(at place, key, want string) {
	p.missed[want] = true
	p.faultAt(at, key, "unknown key", want)
}

// suggest returns what may stand where the unknown key stands: the nearest key
// of the same table, a key of that name in another, or instead, or the keys of
// the table.
func suggest(key string, known []string, instead string) string {
	siblings, namesakes := []string{}, []string{}
	for _, k := range known {
		if below, ok := strings.CutPrefix(k, parentOf(key)); ok {
			name, _, _ := strings.Cut(strings.TrimPrefix(below, "."), ".")
			name = strings.TrimPrefix(parentOf(key)+"."+name, ".")
			if !slices.Contains(siblings, name) {
				siblings = append(siblings, name)
			}
		}
		if lastName(k) == lastName(key) {
			namesakes = append(namesakes, k)
		}
	}
	for _, s := range siblings {
		if slices.Contains(nearWords[lastName(key)], lastName(s)) {
			return s
		}
	}
	if near := nearest(key, siblings); near != "" {
		return near
	}
	if len(namesakes) > 0 {
		return oneOf(namesakes)
	}
	if meant := meantKey(key); meant != "" {
		return meant
	}
	if near := nearest(key, known); near != "" {
		return near
	}
	if instead != "" {
		return instead
	}
	for i, k := range siblings {
		siblings[i] = lastName(k)
	}
	return oneOf(siblings)
}

// An entry is a key of a section that holds keys of other sections.
type entry struct {
	key string // "fins.span"
	*node
}

// entries returns the items of such a section, whether their keys were quoted
// or dotted, and reports those that are none of known; want says what is.
func (p *parser) entries(section string, known []string, want string) []entry {
	var all []entry
	var walk func(n *node)
	walk = func(n *node) {
		for _, c := range n.items {
			key := strings.TrimPrefix(c.key, section+".")
			switch {
			case c.key == dayTable: // a section within a section
			case slices.Contains(known, key):
				all = append(all, entry{key, c})
			case isTable(key, known) && c.kind == table:
				walk(c)
			case isTable(key, known):
				p.fault(c, c.shown(), "a table")
			case slices.Contains(singleKeys(), key):
				p.fault(c, "cannot stand in ["+section+"]", want)
			case isExtra(key):
				p.fault(c, "takes flights of its own and cannot stand in ["+section+"]", want)
			default:
				p.unknown(c.at, c.key, suggest(key, known, want))
			}
		}
	}
	if n := p.find(section); n != nil && n.kind == table {
		walk(n)
	}
	return all
}
