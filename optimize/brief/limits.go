package brief

import (
	"math"
	"slices"
	"strconv"

	"ullage/constraints"
	"ullage/model"
)

// A Limit holds a metric between bounds.
type Limit struct {
	Metric
	constraints.Limit
	BuiltIn bool // not written in the brief
}

// The proof ratio that a search keeps to, and the least that an explicit limit
// may ask for.
const (
	ProofRatio      = 1.5 // common practice, no source
	leastProofRatio = 1.1 // ours
)

// signed lists the figures whose bounds may be negative.
var signed = []model.Figure{
	model.Margin, model.GuideMargin, model.DryMargin, model.ThrustEndHeight, model.DeployLate,
}

// sized lists the figures whose limit acts on their size: their sign only says
// whether it is upwind or downwind, and either is as far from the vertical.
var sized = []model.Figure{model.Drift, model.ThrustEndLean}

// limits reads [limits] and adds the built-in one where it has none.
func (p *parser) limits(b *Brief) {
	proof := false
	for _, e := range p.entries("limits", metricKeys(), aMetric) {
		proof = proof || e.key == "proof_ratio"
		if l, ok := p.limit(e); ok {
			b.Limits = append(b.Limits, l)
		}
	}
	if !proof {
		l := newLimit(FigureMetric(model.ProofRatio))
		l.AtLeast, l.BuiltIn = ProofRatio, true
		b.Limits = append(b.Limits, l)
	}
}

func newLimit(m Metric) Limit {
	return Limit{
		Metric: m,
		Limit: constraints.Limit{
			Key: m.Key, AtLeast: math.Inf(-1), AtMost: math.Inf(1),
			Size: m.Quantity == nil && slices.Contains(sized, m.Figure),
		},
	}
}

// limit reads one limit and reports whether it could.
func (p *parser) limit(e entry) (Limit, bool) {
	metric, _ := MetricByKey(e.key) // entries has refused all others
	l := newLimit(metric)
	if e.kind != table {
		p.fault(e.node, e.shown(), "{ at_least = … }, { at_most = … } or both")
		return l, false
	}
	if !p.only(e.node, "at_least", "at_most") {
		return l, false
	}
	low, high := e.child("at_least"), e.child("at_most")
	if low == nil && high == nil {
		p.fault(e.node, "no bound", "at_least, at_most or both")
		return l, false
	}
	ok := p.bound(low, &l, &l.AtLeast)
	ok = p.bound(high, &l, &l.AtMost) && ok
	if !ok {
		return l, false
	}
	if l.AtLeast > l.AtMost {
		n := high
		if later(low.at, high.at) {
			n = low
		}
		p.fault(n, "at_least is "+low.text+", at_most "+high.text, "at_least at most at_most")
	}
	if e.key == "proof_ratio" && l.AtLeast < leastProofRatio {
		n := e.node
		fact := "no at_least"
		if low != nil {
			n, fact = low, low.text
		}
		p.fault(n, fact, "at least "+strconv.FormatFloat(leastProofRatio, 'g', -1, 64))
	}
	return l, true
}

// bound reads one bound of a limit, where there is one.
func (p *parser) bound(n *node, l *Limit, to *float64) bool {
	if n == nil {
		return true
	}
	v, ok := p.read(n, p.measureOfMetric(&l.Metric))
	if !ok {
		return false
	}
	if v < 0 && l.Quantity == nil && !slices.Contains(signed, l.Figure) {
		p.fault(n, n.text, "at least 0")
		return false
	}
	*to = v
	return true
}
