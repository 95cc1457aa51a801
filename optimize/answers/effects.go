package answers

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/scatter"
	"ullage/optimize/study"
)

// An Effect is what one change does to a design.
type Effect struct {
	Quantity *brief.Quantity
	Step     float64   // SI, what is added to the quantity
	Doubt    bool      // it is one deviation of what is not known, not a step in the workshop
	Changes  []float64 // of each of Affected, in SI; NaN where one of both flights lacks it
	Missed   []string  // keys of the limits that the changed design does not keep
}

// Affected lists the figures of which Effects tells, in its order.
var Affected = [...]model.Figure{model.Apogee, model.Margin, model.LandingSpeed, model.Drift, model.Acceleration}

// Effects returns what one step in the workshop of each settable quantity, and
// one deviation of each doubt, does to the design x: the largest change of the
// first goal first. A quantity that varies by steps takes its own. What changes
// nothing, or gives a rocket that no brief may describe, is left out.
func Effects(b *brief.Brief, x []float64) []Effect {
	r, s := b.At(x)
	e := effects{brief: b, judge: study.NewJudge(b), scratch: model.NewScratch(), rocket: r, site: s}
	e.own = model.Fly(&r, &s, e.scratch)
	var all []Effect
	for _, q := range brief.Quantities() {
		step := workshopStep(b, &q, q.Value(&r, &s))
		if step == 0 {
			continue
		}
		// Whatever cannot become more may still become less.
		for _, by := range []float64{step, -step} {
			changed, site := r, s
			v := q.Value(&r, &s) + by
			if !q.Holds(v) {
				continue
			}
			q.Set(&changed, &site, v)
			if effect, ok := e.of(&changed, &site); ok {
				effect.Quantity, effect.Step = brief.MustQuantity(q.Key), by
				all = append(all, effect)
				break
			}
		}
	}
	for _, law := range scatter.Doubts(b) {
		changed, site := law.Alone(1, &r, &s)
		if effect, ok := e.of(&changed, &site); ok {
			effect.Quantity, effect.Step, effect.Doubt = law.Quantity, law.Value(&changed, &site)-law.Value(&r, &s), true
			all = append(all, effect)
		}
	}
	first := e.first()
	size := func(e Effect) float64 {
		if v := math.Abs(e.Changes[first]); !math.IsNaN(v) {
			return v
		}
		return math.Inf(1)
	}
	slices.SortStableFunc(all, func(a, b Effect) int { return cmp.Compare(size(b), size(a)) })
	return all
}

// effects is a design that is changed in one thing at a time.
type effects struct {
	brief   *brief.Brief
	judge   *study.Judge
	scratch *model.Scratch
	rocket  model.Rocket
	site    model.Site
	own     model.Flight
}

// of returns the effect of a changed rocket, and whether there is any.
func (e *effects) of(r *model.Rocket, s *model.Site) (Effect, bool) {
	f := model.Fly(r, s, e.scratch)
	effect, any := Effect{Missed: e.judge.Missed(r, s, &f)}, f.Outcome != e.own.Outcome
	for _, id := range Affected {
		before, ok := e.own.Figure(id)
		after, has := f.Figure(id)
		change := math.NaN()
		if ok && has {
			change = after - before
		}
		any = any || ok != has || change != 0 && ok
		effect.Changes = append(effect.Changes, change)
	}
	return effect, any && f.Outcome != model.NoRoom
}

// first returns the place in Affected of the first goal that is there, else of
// the apogee.
func (e *effects) first() int {
	for i := range e.brief.Goals {
		g := &e.brief.Goals[i]
		if k := slices.Index(Affected[:], g.Figure); g.Quantity == nil && k >= 0 {
			return k
		}
	}
	return 0
}

// workshopStep returns the step that a quantity of that value takes in the
// workshop or at the pad (common practice, no source), in SI; 0 for what is not
// changed there.
func workshopStep(b *brief.Brief, q *brief.Quantity, value float64) float64 {
	for i := range b.Vary {
		if v := &b.Vary[i]; v.Key == q.Key && v.Step > 0 {
			return v.Step
		}
	}
	if step, ok := workshop[q.Key]; ok {
		return step
	}
	section, _, _ := strings.Cut(q.Key, ".")
	switch q.Unit {
	case "m":
		if section == "chamber" || section == "body" || section == "fins" || section == "payload" || section == "ballast" {
			return 0.01
		}
	case "kg":
		return 0.01
	case "kg/m3", "Pa":
		return 0.1 * value
	}
	return 0
}

// workshop holds the steps of single quantities, in SI.
var workshop = map[string]float64{
	"site.wind": 1, "site.tilt": math.Pi / 180, "site.guide": 0.5, "site.temperature": 5, "site.pressure": 1000, "site.humidity": 0.2, "site.wind_exponent": 0.05,
	"body.drag": 0, "body.roughness": 20e-6,
	"chamber.pressure": 0.5e5, "chamber.throat": 0.5e-3, "chamber.fill": 0.01, "chamber.volume": 0, "chamber.bore": 1e-3,
	"chamber.tube.diameter": 1e-3, "chamber.tube.length": 0.05,
	"fins.thickness": 0.5e-3, "fins.count": 1, "fins.fillets": 5e-3,
	"recovery.canopy": 0.05, "recovery.delay": 0.1,
}
