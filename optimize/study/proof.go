package study

import (
	"cmp"
	"context"
	"slices"

	"ullage/constraints"
	"ullage/optimize"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
)

// A Proof is a design with what many flights under scatter show of it.
type Proof struct {
	optimize.Design                      // its goals are those of the flights
	Chances         []constraints.Chance // of keeping each limit
	All             constraints.Chance   // of keeping all of them
	Held            bool                 // each limit holds with the confidence of the brief
	Shown           []float64            // of each limit, the slack that was shown to hold with the confidence; NaN: none
}

// A Proven is the outcome of a proof.
type Proven struct {
	Designs []Proof // the front: held and non-dominated, in goals and in the share of flights that keep all limits; where none is held, the nearest to it
	Met     bool    // there is a design that is held
	Count
}

// Prove screens the designs that a search found, or came nearest with, and flies
// those that pass once more under draws of their own, of which the printed
// chances are. A design is dropped of which a limit does not hold with the
// confidence: the exact lower bound on its chance stays below it. None takes its
// place, so that the proof selects nothing. A design of which a flight could not
// be computed, or lacks a goal, is dropped too. Where none passes, those that
// came nearest are flown to the end.
//
// The outcome does not depend on workers. When ctx ends the designs that were
// flown until then are judged.
func Prove(ctx context.Context, b *brief.Brief, found *optimize.Outcome, workers int) Proven {
	designs := found.Kept
	if !found.Met {
		designs = found.Archive
	}
	s := screen(ctx, b, designs, workers)
	out := Proven{Count: Count{Screened: len(s.passed) + len(s.failed), Flights: s.flights}}
	plan := b.Plan()
	chosen := s.passed
	if len(chosen) == 0 {
		for _, f := range s.failed[:min(len(s.failed), (plan.Proof-s.flights)/plan.Each, b.Search.Front)] {
			chosen = append(chosen, f.Design)
		}
	}
	var held, dropped []Proof
	for _, p := range Proofs(ctx, b, chosen, workers) {
		out.Checked++
		out.Flights += plan.Each
		if p.Held {
			held = append(held, p)
		} else {
			dropped = append(dropped, p)
		}
	}
	out.Dropped, out.Met = len(dropped), len(held) > 0
	out.Designs = nonDominated(held)
	if !out.Met {
		slices.SortStableFunc(dropped, func(a, c Proof) int {
			return cmp.Or(cmp.Compare(c.weakest(), a.weakest()), slices.Compare(a.X, c.X))
		})
		out.Designs = dropped
	}
	return out
}

// Proofs flies designs under the draws of the proof, several designs at a time,
// and returns what it shows of those that were flown before ctx ended.
func Proofs(ctx context.Context, b *brief.Brief, designs []optimize.Design, workers int) []Proof {
	plan := b.Plan()
	draws := scatter.New(b, scatter.Proof, plan.Each, plan.PerDay, b.Search.Seed)
	proofs := make([]Proof, len(designs))
	Each(ctx, len(designs), workers, func() func(i int) {
		e := newEnsemble(b, draws)
		return func(i int) { proofs[i] = e.prove(designs[i]) }
	})
	return slices.DeleteFunc(proofs, func(p Proof) bool { return p.X == nil })
}

func (e *ensemble) prove(d optimize.Design) Proof {
	e.fly(d.X, nil)
	b := e.brief
	independent := e.draws.Flights() / e.draws.PerDay
	p := Proof{Design: d, All: constraints.Chance{Met: e.all, Flights: independent}, Held: !e.failed}
	for k, met := range e.met {
		c := constraints.Chance{Met: met, Flights: independent}
		p.Chances = append(p.Chances, c)
		p.Held = p.Held && c.AtLeast() >= b.Search.Robust.Confidence
		p.Shown = append(p.Shown, e.shown(k))
	}
	if e.failed {
		return p
	}
	p.Goals = slices.Clone(d.Goals)
	for k := range p.Goals {
		p.Goals[k] = exact(b.Goals[k].As, e.worth[k], e.weights[k], e.block)
	}
	return p
}

// weakest returns the least share of flights that keep a limit.
func (p *Proof) weakest() float64 {
	least := 1.0
	for _, c := range p.Chances {
		least = min(least, c.Share())
	}
	return least
}

// without returns the designs that are not among the others.
func without(all, others []optimize.Design) []optimize.Design {
	return slices.DeleteFunc(all, func(d optimize.Design) bool {
		return slices.ContainsFunc(others, func(o optimize.Design) bool { return slices.Equal(o.X, d.X) })
	})
}

// nonDominated returns the proofs that none of the others outdoes: by being as
// good in each goal, keeping all limits in as many flights, and better in one of
// these.
func nonDominated(all []Proof) []Proof {
	of := func(p *Proof) []float64 { return append(slices.Clone(p.Goals), -float64(p.All.Met)) }
	return slices.DeleteFunc(slices.Clone(all), func(p Proof) bool {
		return slices.ContainsFunc(all, func(o Proof) bool { return dominates(of(&o), of(&p)) })
	})
}

func dominates(a, b []float64) bool {
	better := false
	for k := range a {
		if a[k] > b[k] {
			return false
		}
		better = better || a[k] < b[k]
	}
	return better
}
