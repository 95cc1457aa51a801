package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

// touchdowns tells where designs come down under scatter, in shown units.
type touchdowns struct {
	Drift   axis        `json:"drift"` // without values
	Speed   axis        `json:"speed"` // without values
	Designs []touchdown `json:"designs"`
}

// A touchdown is the flights of one design that land.
type touchdown struct {
	Drift []float64 `json:"drift"`
	Speed []float64 `json:"speed"`
	Words string    `json:"words"` // how many keep the limits
	Doubt string    `json:"doubt"` // how far the design's own landing may be off; empty: it is not told
}

// touchdowns shows the landings of each design.
func (p *Page) touchdowns(landings [][]study.Landing) *touchdowns {
	all := &touchdowns{
		Drift:   p.landingAxis(model.Drift, " downwind"),
		Speed:   p.landingAxis(model.LandingSpeed, ""),
		Designs: table.Gather(landings, p.landing),
	}
	for i := range all.Designs {
		all.Designs[i].Doubt = p.landingDoubt(i)
	}
	return all
}

// landingDoubt says how far the landing of a row may be off, which scatter does
// not tell.
func (p *Page) landingDoubt(row int) string {
	var of []answers.Doubt
	for _, id := range []model.Figure{model.Drift, model.LandingSpeed} {
		if d := p.doubt(row, model.Figures[id].Key); d != nil {
			known := *d
			known.Most = nil // a run's files do not hold it
			of = append(of, known)
		}
	}
	if len(of) == 0 {
		return ""
	}
	return "What no scatter tells: " + strings.Join(wording.Doubts(p.brief, of), "; ") + "."
}

func (p *Page) landingAxis(id model.Figure, toward string) axis {
	m := brief.FigureMetric(id)
	return p.axis(&m, text.Column{Head: [3]string{"", text.Words(m.Key), text.Show(m.Key, m.Unit).Unit + toward}}, nil)
}

func (p *Page) landing(flights []study.Landing) touchdown {
	l := touchdown{Drift: []float64{}, Speed: []float64{}}
	drift, speed := p.limit(model.Figures[model.Drift].Key), p.limit(model.Figures[model.LandingSpeed].Key)
	kept := 0
	for _, f := range flights {
		if math.IsNaN(f.Drift) || math.IsNaN(f.Speed) {
			continue
		}
		l.Drift, l.Speed = append(l.Drift, digits(f.Drift)), append(l.Speed, digits(f.Speed))
		if keeps(drift, f.Drift) && keeps(speed, f.Speed) {
			kept++
		}
	}
	var limits []string
	for i := range p.brief.Limits {
		if of := &p.brief.Limits[i]; of == drift || of == speed {
			limits = append(limits, text.Words(of.Metric.Key)+" "+bounds(of))
		}
	}
	switch len(limits) {
	case 0:
		l.Words = fmt.Sprintf("%d of %d flights land; nothing limits how far or how fast", kept, len(flights))
	case 1:
		l.Words = fmt.Sprintf("%d of %d flights land within the limit: %s", kept, len(flights), limits[0])
	default:
		l.Words = fmt.Sprintf("%d of %d flights land within both limits: %s", kept, len(flights), strings.Join(limits, ", "))
	}
	if none := len(flights) - len(l.Drift); none > 0 && len(limits) > 0 {
		l.Words += fmt.Sprintf("; %d without a landing", none)
	}
	return l
}

// keeps reports whether a number is within a limit, if there is one.
func keeps(l *brief.Limit, v float64) bool { return l == nil || constraints.Kept(l.Slack(v)) }

// landingPicture draws where the first design comes down.
func landingPicture(l touchdowns) still {
	first := l.Designs[0]
	caption := "Design 1: where it comes down under scatter; " + first.Words
	points := pointsOf(first.Drift, first.Speed)
	if len(points) == 0 {
		return still{caption, ""}
	}
	drifts, speeds := []float64{0}, []float64{}
	for _, at := range points {
		drifts, speeds = append(drifts, at.x), append(speeds, at.y)
	}
	plane := newDiagram(l.Drift.label(), l.Speed.label())
	plane.dots(points, glyph{blue, disc}, 2)
	for _, at := range l.Drift.bounds() {
		plane.along(at)
	}
	for _, at := range l.Speed.bounds() {
		plane.across(at)
	}
	plane.x.min, plane.x.max = l.Drift.span(drifts)
	plane.y.min, plane.y.max = l.Speed.span(speeds)
	low := plane.y.min
	plane.line([]point{{0, low}, {0, low + 0.05*(plane.y.max-low)}}, black, 3)
	plane.word(point{0, low}, "pad")
	if len(l.Drift.bounds())+len(l.Speed.bounds()) > 0 {
		caption += ", dashed"
	}
	return drawn(caption, plane)
}

// bounds returns the numbers that the limit, if there is one, allows.
func (a axis) bounds() []float64 {
	var all []float64
	for _, v := range []table.Number{a.Least, a.Most} {
		if !isNaN(v) {
			all = append(all, float64(v))
		}
	}
	return all
}

// span returns the ends of an axis that shows some numbers and its limit.
func (a axis) span(numbers []float64) (low, high float64) {
	numbers = slices.Concat(numbers, a.bounds())
	low, high = slices.Min(numbers), slices.Max(numbers)
	room := 0.06 * (high - low)
	if room == 0 {
		room = 1
	}
	return low - room, high + room
}
