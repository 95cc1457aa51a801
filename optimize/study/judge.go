package study

import (
	"math"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
)

// A Judge holds flights against the limits of a brief. It belongs to one
// goroutine.
type Judge struct {
	brief   *brief.Brief
	limits  []constraints.Limit
	values  []float64
	verdict constraints.Verdict
}

// NewJudge returns a Judge of the brief's limits, in their order.
func NewJudge(b *brief.Brief) *Judge {
	j := &Judge{brief: b, values: make([]float64, len(b.Limits))}
	for i := range b.Limits {
		j.limits = append(j.limits, b.Limits[i].Limit)
	}
	return j
}

// Of says whether a flight of r at s keeps the limits; one that did not land
// keeps not all of them. The verdict is valid until the next call, which does
// not allocate.
func (j *Judge) Of(r *model.Rocket, s *model.Site, f *model.Flight) *constraints.Verdict {
	for i := range j.brief.Limits {
		j.values[i] = number(&j.brief.Limits[i].Metric, r, s, f)
	}
	return j.on(f)
}

// on judges the values that the flight has.
func (j *Judge) on(f *model.Flight) *constraints.Verdict {
	j.verdict.Judge(j.limits, j.values)
	j.verdict.Kept = j.verdict.Kept && f.Outcome == model.Landed
	return &j.verdict
}

// Missed lists the keys of the limits that a flight of r at s does not keep.
func (j *Judge) Missed(r *model.Rocket, s *model.Site, f *model.Flight) []string {
	var keys []string
	for i, slack := range j.Of(r, s, f).Slacks {
		if !constraints.Kept(slack) {
			keys = append(keys, j.limits[i].Key)
		}
	}
	return keys
}

// number returns the number of a metric, NaN where the flight has none.
func number(m *brief.Metric, r *model.Rocket, s *model.Site, f *model.Flight) float64 {
	if v, ok := m.Value(r, s, f); ok {
		return v
	}
	return math.NaN()
}
