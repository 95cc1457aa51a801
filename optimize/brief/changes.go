package brief

import (
	"math"
	"slices"
)

// A Change is a key to which two briefs give different values.
type Change struct {
	Key      string // "limits.margin.at_least", "part[2].mass"
	Was, Now string // as typed; empty where a brief does not have the key
}

// Changes lists what differs between two briefs as they are in force, overrides
// included: the keys of a in its order, then those that only b has. A quantity
// that is typed in another unit, or left to its default, is no change where it
// comes to the same.
func Changes(a, b *Brief) []Change {
	was, now := leaves(a), leaves(b)
	var changes []Change
	for _, n := range was {
		i := slices.IndexFunc(now, func(m *node) bool { return m.key == n.key })
		c := Change{Key: n.key, Was: n.text}
		if i >= 0 {
			c.Now = now[i].text
		}
		if c.Was != c.Now && !comesToTheSame(a, b, c.Key) {
			changes = append(changes, c)
		}
	}
	for _, n := range now {
		has := slices.ContainsFunc(was, func(m *node) bool { return m.key == n.key })
		if !has && !comesToTheSame(a, b, n.key) {
			changes = append(changes, Change{Key: n.key, Now: n.text})
		}
	}
	return changes
}

// comesToTheSame reports whether a key is a quantity that both briefs give the
// same value.
func comesToTheSame(a, b *Brief, key string) bool {
	q := QuantityByKey(key)
	if q == nil {
		return false
	}
	was, now := q.There(&a.Rocket, &a.Site), q.There(&b.Rocket, &b.Site)
	return math.Abs(was-now) <= 1e-12*math.Abs(was) || math.IsNaN(was) && math.IsNaN(now)
}

// leaves lists the values of a brief, its overrides in place.
func leaves(b *Brief) []*node {
	root, _ := readSource(b.Source)
	p := &parser{root: root}
	p.override(b.Set)
	var all []*node
	var walk func(n *node)
	walk = func(n *node) {
		if len(n.items) == 0 && n.kind != table {
			all = append(all, n)
		}
		for _, c := range n.items {
			walk(c)
		}
	}
	walk(root)
	return all
}
