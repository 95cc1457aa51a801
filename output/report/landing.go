package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/table"
	"ullage/output/text"
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
	return "What no scatter tells: " + strings.Join(text.Doubts(p.brief, of), "; ") + "."
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
func landingPicture(l touchdowns) (still, error) {
	first := l.Designs[0]
	caption := "Design 1: where it comes down under scatter; " + first.Words
	var points plotter.XYs
	var drifts, speeds []float64
	for i, drift := range first.Drift {
		if speed := first.Speed[i]; drawable(table.Number(drift)) && drawable(table.Number(speed)) {
			points = append(points, plotter.XY{X: drift, Y: speed})
			drifts, speeds = append(drifts, drift), append(speeds, speed)
		}
	}
	if len(points) == 0 {
		return still{caption, ""}, nil
	}
	plane := newPlane(l.Drift.label(), l.Speed.label())
	dots, err := plotter.NewScatter(points)
	if err != nil {
		return still{}, err
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: blue, Radius: 2, Shape: draw.CircleGlyph{}}
	plane.Add(dots)
	plane.X.Min, plane.X.Max = l.Drift.span(append(drifts, 0))
	plane.Y.Min, plane.Y.Max = l.Speed.span(speeds)
	low := plane.Y.Min
	pad, err := plotter.NewLine(plotter.XYs{{X: 0, Y: low}, {X: 0, Y: low + 0.05*(plane.Y.Max-low)}})
	if err != nil {
		return still{}, err
	}
	pad.LineStyle = draw.LineStyle{Color: black, Width: 3}
	word, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{{X: 0, Y: low}}, Labels: []string{"pad"}})
	if err != nil {
		return still{}, err
	}
	word.TextStyle[0].Font.Variant, word.TextStyle[0].Font.Size = "Sans", 8
	word.Offset.X, word.Offset.Y = 4, 3
	plane.Add(pad, word)
	for _, at := range l.Drift.bounds() {
		if err := addDashes(plane, plotter.XYs{{X: at, Y: plane.Y.Min}, {X: at, Y: plane.Y.Max}}); err != nil {
			return still{}, err
		}
	}
	for _, at := range l.Speed.bounds() {
		if err := addDashes(plane, plotter.XYs{{X: plane.X.Min, Y: at}, {X: plane.X.Max, Y: at}}); err != nil {
			return still{}, err
		}
	}
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
