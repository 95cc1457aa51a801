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
	Default bool // not written in the brief
	Class   bool // as the class has it
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

// defaults are the limits on the figures that safety hangs on, which hold where
// a brief names the figure neither in [limits] nor in [goals]: common practice,
// no source. Without a canopy no default speaks of its opening, and how fast the
// rocket lands is not judged.
var defaults = []struct {
	figure          model.Figure
	atLeast, atMost float64 // SI
}{
	{model.DryMargin, 1, math.Inf(1)},
	{model.Margin, 1, math.Inf(1)},
	{model.PeakIncidence, math.Inf(-1), 15 * degree},
	{model.DeploySpeed, math.Inf(-1), 15},
	{model.LandingSpeed, math.Inf(-1), 8},
	{model.ProofRatio, ProofRatio, math.Inf(1)},
}

// none is what a brief writes instead of a limit to switch a default one off.
const noLimit = "none"

// limits reads [limits] and adds the default ones that it does not replace.
func (p *parser) limits(b *Brief) {
	named := map[string]bool{}
	for _, e := range p.entries("limits", append(metricKeys(), gustKey), aMetric) {
		named[e.key] = true
		if e.kind == text && e.text == noLimit {
			if p.switchable(e) {
				b.NotJudged = append(b.NotJudged, e.key)
			}
			continue
		}
		if l, ok := p.limit(e); ok {
			b.Limits = append(b.Limits, l)
		}
	}
	for _, key := range p.classLimits(b) {
		named[key] = true
	}
	for i := range b.Goals {
		if key := b.Goals[i].Key; key != "proof_ratio" { // which holds whatever is aimed for
			named[key] = true
		}
	}
	for _, d := range defaults {
		m := FigureMetric(d.figure)
		switch l, _ := defaultLimit(&m); {
		case named[m.Key], d.figure == model.DeploySpeed && b.Rocket.Recovery.Canopy == 0:
		case d.figure == model.LandingSpeed && b.Rocket.Recovery.Canopy == 0:
			b.NotJudged = append(b.NotJudged, m.Key)
		default:
			b.Limits = append(b.Limits, l)
		}
	}
}

// defaultLimit returns the default limit on a metric, and whether there is one.
func defaultLimit(m *Metric) (Limit, bool) {
	for _, d := range defaults {
		if m.Quantity == nil && !m.Gust && m.Figure == d.figure {
			l := newLimit(*m)
			l.AtLeast, l.AtMost, l.Default = d.atLeast, d.atMost, true
			return l, true
		}
	}
	return Limit{}, false
}

// switchable reports whether there is a default limit that may be switched off.
func (p *parser) switchable(e entry) bool {
	m, _ := MetricByKey(e.key) // entries has refused all others
	if _, ok := defaultLimit(&m); ok && e.key != "proof_ratio" {
		return true
	}
	var off []string
	for _, d := range defaults {
		if d.figure != model.ProofRatio {
			off = append(off, model.Figures[d.figure].Key)
		}
	}
	p.fault(e.node, "no limit to switch off", "a limit, or "+strconv.Quote(noLimit)+" for "+oneOf(off))
	return false
}

// classFigures lists the figures whose limits a class or a wish sets and safety
// does not hang on; every other figure's is a limit of safety.
var classFigures = []model.Figure{
	model.Apogee, model.ApogeeTime, model.FlightTime, model.MaxSpeed, model.MaxMach, model.WaterTime, model.GasTime,
	model.ThrustEndSpeed, model.ThrustEndHeight, model.Impulse, model.PeakThrust, model.LiftoffMass, model.DryMass, model.Volume,
}

// Safety reports whether someone may be hurt, or the rocket lost, where the
// limit is not kept: such limits decide between go and no-go. A limit on a
// quantity other than the launch pressure, or on height and the like, is one of
// a class.
func (l *Limit) Safety() bool {
	if l.Quantity != nil {
		return l.Metric.Key == "chamber.pressure"
	}
	return l.Gust || !slices.Contains(classFigures, l.Figure)
}

func newLimit(m Metric) Limit {
	return Limit{
		Metric: m,
		Limit: constraints.Limit{
			Key: m.Key, AtLeast: math.Inf(-1), AtMost: math.Inf(1),
			Size: m.Quantity == nil && !m.Gust && slices.Contains(sized, m.Figure),
		},
	}
}

// limit reads one limit and reports whether it could.
func (p *parser) limit(e entry) (Limit, bool) {
	metric, _ := MetricByKey(e.key) // entries has refused all others
	l := newLimit(metric)
	if e.kind != table {
		p.fault(e.node, e.shown(), `{ at_least = … }, { at_most = … } or both`)
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
	if v < 0 && l.Quantity == nil && (l.Gust || !slices.Contains(signed, l.Figure)) {
		p.fault(n, n.text, "at least 0")
		return false
	}
	*to = v
	return true
}
