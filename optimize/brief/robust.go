package brief

import (
	"fmt"
	"strconv"

	"ullage/constraints"
)

// Robust is what a search asks of designs under scatter. The zero Robust asks
// nothing: the search flies every design once, as set.
type Robust struct {
	Draws      int     // flights that choose the designs to prove
	Confidence float64 // chance with which each limit must hold
}

const robustTable = "search.robust"

// nearFlights is how many flights a robust search flies of each design: few,
// because it has to fly many designs.
const nearFlights = 4

// robust completes and checks [search] robust.
func (p *parser) robust(b *Brief) {
	r, n := &b.Search.Robust, p.find(robustTable)
	if n == nil {
		*r = Robust{}
		return
	}
	r.Confidence = p.values[confidence.Key]
	if len(b.Scatter)+len(b.Day) == 0 {
		p.fault(n, "nothing scatters", "a deviation in [scatter]")
	}
	if r.Draws < 1 || r.Confidence <= 0 {
		return // reported
	}
	at := n
	if c := n.child("draws"); c != nil {
		at = c
	}
	plan := b.Plan()
	days := plan.Days
	for ok := false; !ok; days++ {
		_, ok = constraints.Needed(days, r.Confidence)
	}
	if need := (days - 1) * plan.PerDay; days-1 > plan.Days {
		fact := strconv.Itoa(r.Draws)
		if plan.PerDay > 1 {
			fact += fmt.Sprintf(" in days of %d", plan.PerDay)
		}
		p.fault(at, fact, fmt.Sprintf("at least %d to show that a limit holds with a chance of %g", need, r.Confidence))
	}
	p.robustFlights(b, plan, at)
}

// robustFlights checks that there are flights enough for search and proof.
func (p *parser) robustFlights(b *Brief, plan Plan, at *node) {
	flights := b.Search.Flights
	need := max(proofShare*(plan.Screen+plan.Each), (plan.Near*max(b.Search.Islands, 1)*proofShare-1)/(proofShare-1))
	if n := p.find("search.flights"); n != nil && later(n.at, at.at) {
		at = n
	}
	if flights < need {
		p.fault(at, fmt.Sprintf("%d flights in all", flights), fmt.Sprintf("search.flights of at least %d to prove one design", need))
	}
}

// perDay returns how many flights of one day belong together: as many as a
// goal counts, where days differ.
func (b *Brief) perDay() int {
	if len(b.Day) == 0 {
		return 1
	}
	return b.mostCounted()
}

// mostCounted returns the most flights that a goal counts together.
func (b *Brief) mostCounted() int {
	most := 1
	for i := range b.Goals {
		most = max(most, b.Goals[i].As.Of)
	}
	return most
}

// nearFlights returns the flights of one design in a robust search: whole
// days, at least two where days differ, and as many as a goal counts.
func (b *Brief) nearFlights() int {
	if day := b.perDay(); day > 1 {
		return day * max(2, (nearFlights+day-1)/day)
	}
	return max(nearFlights, b.mostCounted())
}

// One flight in so many is kept for the proof at the end of a robust search.
const proofShare = 3

// leastProof is how many flights prove a design at least: with fewer a design
// would have to keep its limits far more often than is asked for. Ours.
const leastProof = 500

// A Plan divides the flights of a brief.
type Plan struct {
	Search, Proof int // flights in all: of the search, and kept for the proof of what it finds

	// Of a robust search, else 0.
	PerDay int // flights of one day that belong together
	Near   int // flights of a design while it is searched, whole days
	Days   int // of the proof of a design, independent of each other
	Each   int // flights of the proof of a design: Days of PerDay
	Screen int // flights that tell whether a design is worth a proof, whole days
}

// ScreenDays returns the days of Screen, independent of each other.
func (p *Plan) ScreenDays() int { return p.Screen / max(p.PerDay, 1) }

// Plan returns how the flights of the brief are used. A proof takes no more
// than twice what the front holds; without [search] robust all are the
// search's.
func (b *Brief) Plan() Plan {
	p := Plan{Search: b.Search.Flights}
	if b.Search.Robust.Draws == 0 {
		return p
	}
	p.PerDay, p.Near = b.perDay(), b.nearFlights()
	days := func(flights int) int { return (flights + p.PerDay - 1) / p.PerDay }
	p.Days = days(max(b.Search.Robust.Draws, leastProof))
	p.Each, p.Screen = p.Days*p.PerDay, days(b.Search.Robust.Draws)*p.PerDay
	p.Proof = min(p.Search/proofShare, 2*b.Search.Front*(p.Screen+p.Each))
	p.Search -= p.Proof
	return p
}
