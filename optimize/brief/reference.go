package brief

import (
	"fmt"
	"slices"
	"strings"

	"ullage/model"
)

// A Key is what a person wants to know of a key of a brief.
type Key struct {
	Name     string   `json:"key"`               // "chamber.throat"; of a figure "apogee"
	Doc      string   `json:"meaning"`           // what it is
	Example  string   `json:"example,omitempty"` // as in a brief, quoted where it is a text
	Units    []string `json:"units,omitempty"`   // those that it may have; none for a count, a bare number and a word
	Default  string   `json:"default,omitempty"` // as in a brief, or "required", "none", "computed" or "no table"
	Range    string   `json:"range,omitempty"`   // of validity
	IsFigure bool     `json:"figure"`            // no key of a section: it may be aimed for and limited
}

// allKeys returns every key of a brief that holds one value, in the order of the
// sections, then every figure.
func allKeys() []Key {
	var all []Key
	for _, q := range singleNumbers() {
		all = append(all, numberKey(q.Key, q))
	}
	for i := range partNumbers {
		all = append(all, numberKey("part."+partNumbers[i].Key, &partNumbers[i]))
	}
	for _, w := range words {
		all = append(all, wordKey(w))
	}
	for _, c := range counters {
		k := Key{Name: c.key, Doc: c.doc, Example: fmt.Sprint(c.fallback), Default: fmt.Sprint(c.fallback), Range: fmt.Sprintf("%d to %.3g", c.min, float64(c.max))}
		if c.fallback == absent {
			k.Example, k.Default = "12", none
		}
		all = append(all, k)
	}
	all = append(
		all,
		Key{Name: proofDateKey, Doc: "on which the chamber was tested, shown on the card", Example: "2026-03-14", Default: none, Range: "a date"},
		Key{Name: "units", Doc: "of the pad card; at the top of the brief", Example: `"` + unitSystems[0] + `"`, Default: unitSystems[0], Range: oneOf(unitSystems)},
	)
	slices.SortStableFunc(all, func(a, b Key) int {
		return slices.Index(sections, sectionOf(a.Name)) - slices.Index(sections, sectionOf(b.Name))
	})
	for _, f := range append(model.Figures[:], Extras[GustIncidence]) {
		all = append(all, Key{Name: f.Key, Doc: f.Doc, Units: unitNames(f.Unit), Example: dimensions[f.Unit].example, IsFigure: true})
	}
	return all
}

func sectionOf(key string) string {
	section, _, _ := strings.Cut(key, ".")
	return section
}

func numberKey(name string, q *Quantity) Key {
	m := (&parser{root: &node{kind: table}}).measureOf(q)
	k := Key{Name: name, Doc: q.Doc, Example: m.example, Range: q.rangeText()}
	if !q.whole() {
		k.Units = unitNames(q.Unit)
	}
	if q.Key == "chamber.fill" {
		k.Units = slices.Concat(k.Units, unitNames("m3"), unitNames("kg"))
	}
	switch {
	case q.fallback == "" && slices.Contains(optionalTables, parentOf(name)):
		k.Default = "no table"
	case q.fallback == "":
		k.Default = "required"
	case q.fallback == none || q.fallback == computed:
		k.Default = q.fallback
	default:
		k.Default = q.Text(mustRead(q.fallback, q.Unit))
	}
	return k
}

func wordKey(w word) Key {
	k := Key{Name: w.key, Doc: w.doc, Example: `"` + w.names[0] + `"`, Default: "required", Range: oneOf(w.names)}
	switch {
	case w.fallback > 0:
		k.Default = w.names[w.fallback-1]
	case w.fallback == absent:
		k.Default = none
	}
	return k
}

// KeysOf returns the keys whose name or meaning has the word, or a name that
// people use the word for, in the order of the sections, then the figures; every
// key for "".
func KeysOf(word string) []Key {
	word = strings.ToLower(strings.TrimSpace(word))
	return slices.DeleteFunc(allKeys(), func(k Key) bool {
		return !strings.Contains(k.Name, word) && !strings.Contains(strings.ToLower(k.Doc), word) && !slices.Contains(nearWords[word], lastName(k.Name)) &&
			!slices.Contains(nearWords[word], sectionOf(k.Name))
	})
}

// A Material is what a word of fins.material or chamber.material stands for.
type Material struct {
	Key    string `json:"key"`
	Name   string `json:"name"`
	Means  string `json:"means"`  // the values that it sets
	Source string `json:"source"` // or that they are from memory
}

// Materials returns what the chamber and the fins may be made of.
func Materials() []Material {
	var all []Material
	for _, w := range walls {
		all = append(all, Material{"chamber.material", w.name, "growth " + QuantityByKey("chamber.growth").Text(w.growth), w.source})
	}
	density, modulus := QuantityByKey("fins.density"), QuantityByKey("fins.shear_modulus")
	for _, m := range materials {
		all = append(all, Material{"fins.material", m.name, density.Text(m.density) + ", " + modulus.Text(m.shearModulus), m.source})
	}
	return all
}
