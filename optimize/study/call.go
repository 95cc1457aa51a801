package study

import (
	"cmp"
	"slices"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// A Word is what is called to a builder.
type Word int

// The words: every limit of safety is kept, as set and nearly always; as set,
// but not always; or not.
const (
	Go Word = iota + 1
	Tight
	NoGo
)

var words = [...]string{Go: "GO", Tight: "GO, TIGHT", NoGo: "NO-GO"}

// String returns the word as it is printed.
func (w Word) String() string { return words[w] }

// How a call is made (common practice, no source): by so many flights under
// scatter, of which each limit is kept in a share of at least sure, or the word
// is TIGHT, and of at least even, or it is NO-GO.
const (
	CallFlights = 400
	sure        = 0.95
	even        = 0.5

	callSeed = 1 // fixed: a design is called the same whatever the search's seed
)

// A Call is the word on a design with what it rests on.
type Call struct {
	Word    Word
	Usual   bool                 // the scatter is the usual one: the brief names none
	Nominal model.Flight         // as set
	Slacks  []float64            // of each limit as set; NaN where the number is not there
	Chances []constraints.Chance // of keeping each limit under scatter; nil where the flight as set decides
	All     constraints.Chance   // of keeping every limit of safety
	Apogees []float64            // m, of the flights under scatter that landed
}

// A Caller calls designs of a brief. It belongs to one goroutine.
type Caller struct {
	*ensemble
	usual bool
}

// NewCaller returns a Caller of designs of b.
func NewCaller(b *brief.Brief) *Caller {
	d, usual := scatter.ForCall(b, CallFlights, callSeed)
	return &Caller{ensemble: newEnsemble(b, d), usual: usual}
}

// Call flies a rocket as set, and where that keeps every limit of safety under
// scatter. The call is the same on every machine and for every seed.
func (c *Caller) Call(r *model.Rocket, s *model.Site) Call {
	c.rocket, c.site = *r, *s
	call := Call{Word: Go, Usual: c.usual, Nominal: model.Fly(r, s, c.scratch)}
	verdict := c.Of(r, s, &call.Nominal)
	call.Slacks = append(call.Slacks, verdict.Slacks...)
	if call.Nominal.Outcome != model.Landed || !c.safe(c.kept) {
		call.Word = NoGo
		return call
	}
	c.onScale()
	kept := 0
	c.flyAll(func(f model.Flight) {
		if v, ok := f.Figure(model.Apogee); ok {
			call.Apogees = append(call.Apogees, v)
		}
		if f.Outcome == model.Landed && c.safe(c.kept) {
			kept++
		}
	})
	for _, met := range c.met {
		call.Chances = append(call.Chances, constraints.Chance{Met: met, Flights: CallFlights})
	}
	call.All = constraints.Chance{Met: kept, Flights: CallFlights}
	switch {
	case !c.safe(func(k int) bool { return call.Chances[k].Share() >= even }):
		call.Word = NoGo
	case !c.safe(func(k int) bool { return call.Chances[k].Share() >= sure }):
		call.Word = Tight
	}
	return call
}

// Goes reports whether Call would say GO, in less time where it would not: it
// stops at the flight with which some limit can no longer be kept often enough.
func (c *Caller) Goes(r *model.Rocket, s *model.Site) bool { return c.word(r, s, Go) == Go }

// WordOf returns the word of Call, in less time: it stops at the flight that
// settles it.
func (c *Caller) WordOf(r *model.Rocket, s *model.Site) Word { return c.word(r, s, Tight) }

// word returns the word of Call where it is enough or better, else NoGo.
func (c *Caller) word(r *model.Rocket, s *model.Site, enough Word) Word {
	c.rocket, c.site = *r, *s
	f := model.Fly(r, s, c.scratch)
	c.Of(r, s, &f)
	if f.Outcome != model.Landed || !c.safe(c.kept) {
		return NoGo
	}
	c.onScale()
	missed := make([]int, len(c.limits))
	least := sure
	if enough == Tight {
		least = even
	}
	for i := range c.draws.Flights() {
		c.draws.At(i, &c.rocket, &c.site, &c.drawn, &c.around)
		f := model.Fly(&c.drawn, &c.around, c.scratch)
		c.count(i, &f)
		for k := range missed {
			if f.Outcome != model.Landed || !c.kept(k) {
				missed[k]++
			}
		}
		left := CallFlights - 1 - i
		switch {
		case !c.within(missed, 0, least):
			return NoGo
		case !c.within(missed, 0, sure) && c.within(missed, left, even):
			return Tight
		}
	}
	return Go
}

// within reports whether each limit of safety is kept in a share of the flights
// where so many miss it, and more of them still may.
func (c *Caller) within(missed []int, more int, share float64) bool {
	return c.safe(func(k int) bool { return float64(missed[k]+more) <= CallFlights-share*CallFlights })
}

// kept reports whether the flight judged last keeps limit k.
func (c *Caller) kept(k int) bool { return constraints.Kept(c.verdict.Slacks[k]) }

// onScale makes the rocket that is flown under scatter one that was weighed,
// where its mass and balance point are to scatter.
func (c *Caller) onScale() {
	if st, ok := model.Weigh(&c.rocket, &c.site); ok && c.usual {
		c.rocket = OnScale(&c.rocket, &st)
	}
}

// safe reports whether a rule holds for every limit of safety.
func (c *Caller) safe(rule func(k int) bool) bool {
	for k := range c.brief.Limits {
		if c.brief.Limits[k].Safety() && !rule(k) {
			return false
		}
	}
	return true
}

// Lacking lists the keys of the limits of safety that decide against GO, the
// least kept first; those that are missed as set before all others.
func (c *Call) Lacking(b *brief.Brief) []string {
	share := func(k int) float64 {
		switch {
		case !constraints.Kept(c.Slacks[k]):
			return -1
		case c.Chances == nil:
			return 1
		}
		return c.Chances[k].Share()
	}
	var at []int
	for k := range b.Limits {
		if b.Limits[k].Safety() && share(k) < sure {
			at = append(at, k)
		}
	}
	slices.SortStableFunc(at, func(i, j int) int { return cmp.Compare(share(i), share(j)) })
	keys := make([]string, len(at))
	for i, k := range at {
		keys[i] = b.Limits[k].Metric.Key
	}
	return keys
}

// OnScale returns the same rocket as if it had been weighed: its mass and
// balance point can then be shifted by themselves.
func OnScale(r *model.Rocket, st *model.Statics) model.Rocket {
	weighed := *r
	weighed.Weighed = model.Weighed{Mass: st.DryMass, Balance: st.DryCG, Payload: r.Payload.Mass, Ballast: r.Ballast.Mass, Canopy: r.Recovery.Mass}
	return weighed
}
