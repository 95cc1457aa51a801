package brief

import (
	"math"
	"slices"

	"ullage/model"
)

// A Brief is a checked brief: nothing in it needs to be tested again. Numbers
// are SI.
type Brief struct {
	Title     string
	Name      string   // of the file, as given to Parse
	Source    []byte   // the exact bytes
	Set       []string // the overrides, as given to Parse
	Fitted    string   // the logs and observations that it was fitted to, as its first comment says; empty if to none
	Rocket    model.Rocket
	Site      model.Site
	Vary      []Vary    // in the order of the brief, without what Set fixed
	Goals     []Goal    // in the order of the brief, without what Set fixed
	Limits    []Limit   // in the order of the brief, then the default ones
	NotJudged []string  // keys of the default limits that the brief switches off, or that a rocket without canopy does not have
	Scatter   []Scatter // from flight to flight, in the order of the brief
	Day       []Scatter // from day to day, in the order of the brief
	Field     Field
	ProofDate string // on which the chamber was tested, as 2026-03-14; "" where it is not told
	Cycles    int    // pressure cycles of the chamber so far; < 0 where they are not told
	Sheet     bool   // the brief says from what material the fins are cut
	US        bool   // a pad card is in psi, feet and ounces
	Search    Search
	Class     Class
}

// A Field is the room that a site leaves, in m; +Inf where the brief names none.
type Field struct {
	Upwind, Downwind float64 // from the pad to where people or a fence are
	Ceiling          float64 // above the pad
}

// A Vary is one quantity that the search may set.
type Vary struct {
	*Quantity
	From, To float64
	Step     float64   // 0: continuous. Values are From + k·Step, k whole
	Choices  []float64 // when set, the only values allowed; From, To, Step are 0
	Masses   []float64 // of recovery.canopy: the recovery.mass that comes with each of Choices; else nil
}

// Mass returns the mass that comes with a value of Choices, and whether one does.
func (v *Vary) Mass(value float64) (float64, bool) {
	if v.Masses == nil {
		return 0, false
	}
	if i := slices.Index(v.Choices, value); i >= 0 {
		return v.Masses[i], true
	}
	return 0, false
}

// Put gives r and s a value of the quantity and what comes with it. It does not
// allocate.
func (v *Vary) Put(r *model.Rocket, s *model.Site, value float64) {
	v.Set(r, s, value)
	if mass, ok := v.Mass(value); ok {
		r.Recovery.Mass = mass
	}
}

// Lowest returns the least value that the search may set.
func (v *Vary) Lowest() float64 {
	if v.Choices != nil {
		return slices.Min(v.Choices)
	}
	return v.From
}

// Highest returns the greatest value that the search may set: the range may fall
// short of whole steps.
func (v *Vary) Highest() float64 {
	switch {
	case v.Choices != nil:
		return slices.Max(v.Choices)
	case v.Step > 0:
		const rounding = 1e-6 // of a step
		return v.From + v.Step*math.Floor((v.To-v.From)/v.Step+rounding)
	}
	return v.To
}

// Search is how to search. Zero islands or population leave them to the search.
type Search struct {
	Seed                                uint64
	Islands, Population, Flights, Front int
	Robust                              Robust
}

// Parse reads a brief. Each set is "key=value" and replaces the value in src;
// it fixes a varied quantity, which is then no longer varied, nor a goal.
//
// An error joins all faults, each "name:line:column: key: fact, want"; the
// place of a fault in set is "--set key=value".
func Parse(name string, src []byte, set ...string) (*Brief, error) {
	root, faults := readSource(src)
	if root == nil {
		return nil, joinFaults(name, faults)
	}
	p := &parser{root: root, faults: faults, values: map[string]float64{}, places: map[string]place{}, missed: map[string]bool{}}
	p.override(set)
	b := &Brief{Name: name, Source: slices.Clone(src), Set: slices.Clone(set), Fitted: fittedTo(src)}
	p.title(b)
	p.class(b)
	p.keys()
	p.sections(b)
	p.parts(b)
	p.crossChecks(&b.Rocket, &b.Site)
	p.vary(b)
	p.goals(b)
	p.classGoals(b)
	p.limits(b)
	p.scatter(b)
	p.robust(b)
	if err := joinFaults(name, p.faults); err != nil {
		return nil, err
	}
	return b, nil
}

// At returns the rocket and the site of a design: x holds a value for each of
// b.Vary, in its order.
func (b *Brief) At(x []float64) (model.Rocket, model.Site) {
	r, s := b.Rocket, b.Site
	b.Place(x, &r, &s)
	return r, s
}

// WithSeed returns the brief with another seed; b stays as it is.
func (b *Brief) WithSeed(seed uint64) *Brief {
	other := *b
	other.Search.Seed = seed
	return &other
}

// OnceEach returns the brief with a search that flies every design once and as
// it is set, whatever [search] robust asks for; b stays as it is.
func (b *Brief) OnceEach() *Brief {
	other := *b
	other.Search.Robust = Robust{}
	return &other
}

// Own returns the design that the brief itself describes: its value of each of
// b.Vary, in SI.
func (b *Brief) Own() []float64 {
	x := make([]float64, len(b.Vary))
	for i, v := range b.Vary {
		x[i] = v.Value(&b.Rocket, &b.Site)
	}
	return x
}

// Place gives r and s the values of a design, and leaves all else as it is. It
// does not allocate.
func (b *Brief) Place(x []float64, r *model.Rocket, s *model.Site) {
	for i := range b.Vary {
		b.Vary[i].Put(r, s, x[i])
	}
}
