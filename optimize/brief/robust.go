package brief

import (
	"fmt"
	"strconv"

	"ullage/constraints"
)

// Robust is what a search asks of designs under scatter. The zero Robust asks
// nothing: the search flies every design once, as set.
type Robust struct {
	Draws      int     // flights that a design of the front is proved with
	Confidence float64 // chance with which each limit must hold
}

// on reports whether the search is robust.
func (r Robust) on() bool { return r.Draws > 0 }

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
	days, day := b.days(), b.perDay()
	for ok := false; !ok; days++ {
		_, ok = constraints.Needed(days, r.Confidence)
	}
	if need := (days - 1) * day; days-1 > b.days() {
		fact := strconv.Itoa(r.Draws)
		if day > 1 {
			fact += fmt.Sprintf(" in days of %d", day)
		}
		p.fault(at, fact, fmt.Sprintf("at least %d to show that a limit holds with a chance of %g", need, r.Confidence))
	}
	p.robustFlights(b, at)
}

// robustFlights checks that there are flights enough for search and proof.
func (p *parser) robustFlights(b *Brief, at *node) {
	flights := b.Search.Flights
	need := max(proofShare*b.proofFlights(), (b.nearFlights()*max(b.Search.Islands, 1)*proofShare+1)/(proofShare-1))
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
	most := 1
	for i := range b.Goals {
		most = max(most, b.Goals[i].As.Of)
	}
	if len(b.Day) == 0 {
		return 1
	}
	return most
}

// nearFlights returns the flights of one design in a robust search: whole
// days, at least two where days differ, and as many as a goal counts.
func (b *Brief) nearFlights() int {
	day := b.perDay()
	if day > 1 {
		return day * max(2, (nearFlights+day-1)/day)
	}
	most := nearFlights
	for i := range b.Goals {
		most = max(most, b.Goals[i].As.Of)
	}
	return most
}

// days returns the flights of a proof that are independent of each other.
func (b *Brief) days() int {
	day := b.perDay()
	return (b.Search.Robust.Draws + day - 1) / day
}

// proofFlights returns the flights of the proof of one design: whole days.
func (b *Brief) proofFlights() int { return b.days() * b.perDay() }

// One flight in so many is kept for the proof at the end of a robust search.
const proofShare = 3

// Shares divides the flights of the brief between the search and the proof of
// what it finds, which takes no more than twice what the front holds. Without
// [search] robust all are the search's.
func (b *Brief) Shares() (search, proof int) {
	all := b.Search.Flights
	if !b.Search.Robust.on() {
		return all, 0
	}
	proof = min(all/proofShare, 2*b.Search.Front*b.proofFlights())
	return all - proof, proof
}
