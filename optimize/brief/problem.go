package brief

import (
	"errors"
	"fmt"

	"ullage/model"
	"ullage/optimize"
)

// Problem returns the search that the brief asks for. Its variables, goals and
// violations are in the order of b.Vary, b.Goals and b.Limits; its first design
// is the brief's own, at the nearest allowed values.
func (b *Brief) Problem() (*optimize.Problem, error) {
	var faults []error
	if len(b.Vary) == 0 {
		faults = append(faults, fmt.Errorf("%s:1:1: vary: nothing to vary, want at least one quantity in [vary] that --set does not fix", b.Name))
	}
	if len(b.Goals) == 0 {
		faults = append(faults, fmt.Errorf("%s:1:1: goals: no goal, want at least one in [goals] that --set does not fix", b.Name))
	}
	if faults != nil {
		return nil, errors.Join(faults...)
	}
	p := &optimize.Problem{Goals: len(b.Goals), Limits: len(b.Limits), Evaluator: b.evaluator}
	first := make([]float64, len(b.Vary))
	for i := range b.Vary {
		v := &b.Vary[i]
		p.Variables = append(p.Variables, optimize.Variable{Name: v.Key, From: v.From, To: v.To, Step: v.Step, Choices: v.Choices})
		first[i] = v.nearest(v.Value(&b.Rocket, &b.Site))
	}
	p.First = [][]float64{first}
	if b.Search.Robust.on() {
		b.robustly(p)
	}
	return p, nil
}

// evaluator returns a function that flies a design, with scratch of its own.
func (b *Brief) evaluator() func(x []float64, r *optimize.Result) {
	scratch := model.NewScratch()
	rocket, site := b.Rocket, b.Site
	return func(x []float64, r *optimize.Result) {
		b.place(x, &rocket, &site)
		f := model.Fly(&rocket, &site, scratch)
		b.judge(&rocket, &site, &f, r)
	}
}

// judge writes what the search sees of a flight into r. A goal that a flight
// does not have is 0, and the flight failed.
func (b *Brief) judge(rocket *model.Rocket, site *model.Site, f *model.Flight, r *optimize.Result) {
	r.Failed = f.Outcome != model.Landed
	for i := range b.Goals {
		g := &b.Goals[i]
		v, ok := g.Value(rocket, site, f)
		r.Goals[i] = 0
		if ok {
			r.Goals[i] = g.Minimised(v)
		}
		r.Failed = r.Failed || !ok
	}
	room := newEase()
	for i := range b.Limits {
		l := &b.Limits[i]
		slack := -l.Missing()
		if v, ok := l.Metric.Value(rocket, site, f); ok {
			slack = l.room(v)
		}
		r.Violations[i] = max(0, -slack)
		room.add(l.Scaled(slack))
	}
	r.Slack = room.value()
}
