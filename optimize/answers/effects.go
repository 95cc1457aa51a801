package answers

import (
	"cmp"
	"math"
	"slices"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
)

// An Effect is what one change does to a design.
type Effect struct {
	Quantity *brief.Quantity
	Step     float64   // SI, what is added to the quantity
	Share    float64   // of the quantity's value, where the step is meant as one; else 0
	Word     string    // what the quantity becomes, where it is a word; Step is 0 then
	Doubt    bool      // it is one deviation of what is not known, not a step in the workshop
	Changes  []float64 // of each of Affected, in SI; NaN where one of both flights lacks it
	Missed   []string  // keys of the limits that it no longer keeps
}

// Affected lists the figures of which Effects tells, in its order.
var Affected = [...]model.Figure{model.Apogee, model.Margin, model.LandingSpeed, model.Drift, model.Acceleration}

// Effects returns what one step in the workshop of each settable quantity, and
// one deviation of each doubt, does to the design x: the largest change of
// FirstAffected first. A quantity that varies by steps or choices takes its own,
// a word that varies each of its choices.
// What changes nothing, or gives a rocket that no brief may describe, is left
// out.
func Effects(b *brief.Brief, x []float64) []Effect {
	r, s := b.At(x)
	e := effects{brief: b, judge: study.NewJudge(b), scratch: model.NewScratch(), rocket: r, site: s}
	e.own = model.Fly(&r, &s, e.scratch)
	e.missed = e.judge.Missed(&r, &s, &e.own)
	var all []Effect
	for _, q := range brief.Quantities() {
		if effect, ok := e.step(brief.MustQuantity(q.Key)); ok {
			all = append(all, effect)
		}
	}
	for i := range b.Vary {
		if b.Vary[i].Names != nil {
			all = append(all, e.others(&b.Vary[i])...)
		}
	}
	for _, law := range scatter.Doubts(b) {
		if effect, ok := e.doubt(&law); ok {
			all = append(all, effect)
		}
	}
	first := FirstAffected(b)
	size := func(e Effect) float64 {
		if v := math.Abs(e.Changes[first]); !math.IsNaN(v) {
			return v
		}
		return math.Inf(1)
	}
	slices.SortStableFunc(all, func(a, b Effect) int { return cmp.Compare(size(b), size(a)) })
	return all
}

// FirstAffected returns the place in Affected of the first goal that is there,
// else of the apogee.
func FirstAffected(b *brief.Brief) int {
	for i := range b.Goals {
		g := &b.Goals[i]
		if k := slices.Index(Affected[:], g.Figure); g.Quantity == nil && k >= 0 {
			return k
		}
	}
	return 0
}

// effects is a design that is changed in one thing at a time.
type effects struct {
	brief   *brief.Brief
	judge   *study.Judge
	scratch *model.Scratch
	rocket  model.Rocket
	site    model.Site
	own     model.Flight
	missed  []string // by it
}

// step returns the effect of one step of a quantity in the workshop: up, or
// down where it cannot become more.
func (e *effects) step(q *brief.Quantity) (Effect, bool) {
	own := q.Value(&e.rocket, &e.site)
	for _, v := range workshopSteps(e.brief, q, &e.rocket, own) {
		if !q.Holds(v) {
			continue
		}
		changed, site := e.rocket, e.site
		e.put(q, &changed, &site, v)
		if effect, ok := e.of(&changed, &site); ok {
			effect.Quantity, effect.Step = q, v-own
			if byShare(q) {
				effect.Share = effect.Step / own
			}
			return effect, true
		}
	}
	return Effect{}, false
}

// put gives a quantity a value, with what comes with it where it is varied.
func (e *effects) put(q *brief.Quantity, r *model.Rocket, s *model.Site, value float64) {
	q.Set(r, s, value)
	for i := range e.brief.Vary {
		if v := &e.brief.Vary[i]; v.Key == q.Key {
			v.Put(r, s, value)
		}
	}
}

// others returns the effect of every other word that a quantity may be.
func (e *effects) others(v *brief.Vary) (all []Effect) {
	own := v.Value(&e.rocket, &e.site)
	for _, choice := range v.Choices {
		changed, site := e.rocket, e.site
		v.Put(&changed, &site, choice)
		if effect, ok := e.of(&changed, &site); ok && choice != own {
			effect.Quantity, effect.Word = v.Quantity, v.Name(choice)
			all = append(all, effect)
		}
	}
	return all
}

// doubt returns the effect of one deviation of what is not known.
func (e *effects) doubt(law *scatter.Law) (Effect, bool) {
	changed, site := law.Alone(1, &e.rocket, &e.site)
	effect, ok := e.of(&changed, &site)
	own := law.Value(&e.rocket, &e.site)
	if law.Key == "chamber.gas_temperature" && own == 0 {
		own = e.site.Temperature // what a brief that gives none means
	}
	effect.Quantity, effect.Step, effect.Doubt = law.Quantity, law.Value(&changed, &site)-own, true
	if law.Relative {
		effect.Share = effect.Step / own
	}
	return effect, ok
}

// of returns the effect of a changed rocket, and whether there is any.
func (e *effects) of(r *model.Rocket, s *model.Site) (Effect, bool) {
	f := model.Fly(r, s, e.scratch)
	missed := slices.DeleteFunc(e.judge.Missed(r, s, &f), func(key string) bool { return slices.Contains(e.missed, key) })
	effect, any := Effect{Missed: missed}, f.Outcome != e.own.Outcome || len(missed) > 0
	for _, id := range Affected {
		before, ok := e.own.Figure(id)
		after, has := f.Figure(id)
		change := math.NaN()
		any = any || ok != has
		if ok && has {
			change = after - before
			any = any || change != 0
		}
		effect.Changes = append(effect.Changes, change)
	}
	return effect, any && f.Outcome != model.NoRoom
}
