package brief

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"ullage/model"
)

// A Quantity is a number of the rocket or the site that a brief gives, and that
// may be varied, scattered and set.
type Quantity struct {
	Key      string    // "fins.span"
	Unit     string    // SI: "m", "rad", "K"; "1" for a ratio or a count
	Doc      string    // what it is, for people
	Min, Max float64   // SI, range of validity, both included
	Allowed  []float64 // when set, the only values there are
	Names    []string  // when set, a value is the number of one of these words, from 1

	example  string // as in a brief; its unit is the one to show
	fallback string // as in a brief; "" when the key is required, computed when it follows from others
	field    func(craft) *float64
	count    func(craft) *int // instead of field
	word     *word            // instead of field
}

// computed marks a fallback that depends on other keys.
const computed = "computed"

// craft is where a quantity finds its field.
type craft struct {
	*model.Rocket
	*model.Site
}

// Value returns the quantity's value, in SI.
func (q *Quantity) Value(r *model.Rocket, s *model.Site) float64 {
	if q.count != nil {
		return float64(*q.count(craft{r, s}))
	}
	if q.word != nil {
		return float64(q.word.is(r))
	}
	return *q.field(craft{r, s})
}

// There returns the quantity's value, in SI, or NaN where the rocket has no such
// part: no canopy, no ballast, no tube, nothing measured.
func (q *Quantity) There(r *model.Rocket, s *model.Site) float64 {
	v, section := q.Value(r, s), parentOf(q.Key)
	switch {
	case section == "recovery" && r.Recovery.Canopy == 0,
		q.OfSome() && r.Recovery.Mass == 0,
		section == "ballast" && r.Ballast.Mass == 0 && r.Ballast.Station == 0,
		!q.Holds(v):
		return math.NaN()
	}
	return v
}

// OfSome reports whether the quantity is one that most briefs leave out: a table
// has it only where it is there.
func (q *Quantity) OfSome() bool { return q.Key == canopyMass || q.Key == "recovery.station" }

// Set gives the quantity the value v, in SI; a count or a word is rounded.
func (q *Quantity) Set(r *model.Rocket, s *model.Site, v float64) {
	if q.word != nil {
		q.word.set(r, int(math.Round(v)))
		return
	}
	if q.count != nil {
		*q.count(craft{r, s}) = int(math.Round(v))
		return
	}
	*q.field(craft{r, s}) = v
}

// Text returns v, in SI, as people write it in a brief, to six digits: "9 mm".
func (q *Quantity) Text(v float64) string { return q.digits(v, 6) }

// Name returns the word that v stands for, "" where it is none of Names.
func (q *Quantity) Name(v float64) string {
	if i := int(v) - 1; i >= 0 && i < len(q.Names) && float64(i+1) == v {
		return q.Names[i]
	}
	return ""
}

// digits is Text with another number of digits.
func (q *Quantity) digits(v float64, n int) string {
	if q.Names != nil {
		return q.Name(v)
	}
	_, name, _ := amount(q.example)
	if u, ok := unitOf(name, q.Unit); ok {
		return strconv.FormatFloat(u.fromSI(v), 'g', n, 64) + " " + name
	}
	return strconv.FormatFloat(v, 'g', n, 64)
}

// rangeText words the range of validity.
func (q *Quantity) rangeText() string {
	if q.Allowed != nil {
		names := make([]string, len(q.Allowed))
		for i, v := range q.Allowed {
			names[i] = q.Text(v)
		}
		return oneOf(names)
	}
	return q.Text(q.Min) + " to " + q.Text(q.Max)
}

// Holds reports whether v, in SI, lies in the range of validity.
func (q *Quantity) Holds(v float64) bool {
	if q.Allowed != nil {
		return slices.Contains(q.Allowed, v)
	}
	return v >= q.Min && v <= q.Max
}

// whole reports whether the quantity is a count; a word is none.
func (q *Quantity) whole() bool { return q.count != nil }

// Quantities returns every number that can be set, in the order of the
// reference: the one table behind parser, schema, --set and columns.
func Quantities() []Quantity { return slices.Clone(quantities) }

// named are the words that can be varied: nothing can be aimed for or limited or
// scatter in them.
var named = namedQuantities()

func namedQuantities() (all []Quantity) {
	for i := range words {
		w := &words[i]
		if w.is == nil {
			continue
		}
		q := Quantity{Key: w.key, Unit: "1", Doc: w.doc, Min: 1, Max: float64(len(w.names)), Names: w.names, word: w}
		for k := range w.names {
			q.Allowed = append(q.Allowed, float64(k+1))
		}
		all = append(all, q)
	}
	return all
}

// QuantityByKey returns the settable quantity with that key, a number or a word,
// or nil where there is none.
func QuantityByKey(key string) *Quantity {
	for _, all := range [][]Quantity{quantities, named} {
		for i := range all {
			if all[i].Key == key {
				return &all[i]
			}
		}
	}
	return nil
}

// MustQuantity returns the number with that key, of those of [weighed] too. It
// panics where there is none: the key is the program's own.
func MustQuantity(key string) *Quantity {
	for _, q := range singleNumbers() {
		if q.Key == key {
			return q
		}
	}
	panic("brief: no quantity " + key)
}

// quantity makes a row of the table from text as in a brief; from and to bound
// the range of validity.
func quantity(key, unit, doc, example, from, to, fallback string, field func(craft) *float64) Quantity {
	return Quantity{
		Key: key, Unit: unit, Doc: doc, Min: mustRead(from, unit), Max: mustRead(to, unit),
		example: example, fallback: fallback, field: field,
	}
}

// mustRead reads a value of the table itself.
func mustRead(s, si string) float64 {
	number, name, ok := amount(s)
	u, known := unitOf(name, si)
	if !ok || name != "" && !known {
		panic(fmt.Sprintf("brief: table of quantities: %q is no value in %s", s, si))
	}
	if name == "" {
		u = unit{times: 1, over: 1}
	}
	return u.read(number, false)
}
