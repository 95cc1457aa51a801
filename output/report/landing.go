package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"ullage/model"
	"ullage/output"
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
}

// landings reads the table of landings of so many designs.
func (p Page) landings(t table.Table, designs int) (*touchdowns, error) {
	r := table.Reader{Table: t}
	number := table.Values[int32](&r, "design")
	drift, speed := model.Figures[model.Drift], model.Figures[model.LandingSpeed]
	drifts := r.SI(table.ColumnName(drift.Key, drift.Unit), drift.Unit)
	speeds := r.SI(table.ColumnName(speed.Key, speed.Unit), speed.Unit)
	if r.Err != nil {
		return nil, r.Err
	}
	of := make([][]output.Landing, designs)
	for i, n := range number {
		if n < 1 || int(n) > designs {
			return nil, fmt.Errorf("design %d, want 1 to %d", n, designs)
		}
		of[n-1] = append(of[n-1], output.Landing{Drift: drifts[i], Speed: speeds[i]})
	}
	return &touchdowns{
		Drift:   p.landingAxis(drift, " downwind"),
		Speed:   p.landingAxis(speed, ""),
		Designs: table.Gather(of, p.landing),
	}, nil
}

func (p Page) landingAxis(info model.FigureInfo, toward string) axis {
	q := table.Quantity{Key: info.Key, Unit: info.Unit}
	return p.axis(q, text.Column{Head: [3]string{"", text.Words(q.Key), text.Show(q).Unit + toward}}, nil)
}

func (p Page) landing(flights []output.Landing) touchdown {
	l := touchdown{Drift: []float64{}, Speed: []float64{}}
	kept := 0
	for _, f := range flights {
		if !f.Drift.Applies || !f.Speed.Applies {
			continue
		}
		l.Drift, l.Speed = append(l.Drift, digits(f.Drift.Number)), append(l.Speed, digits(f.Speed.Number))
		if p.keeps(model.Drift, f.Drift.Number) && p.keeps(model.LandingSpeed, f.Speed.Number) {
			kept++
		}
	}
	var limits []string
	for i, q := range p.Limits {
		if q.Key == model.Figures[model.Drift].Key || q.Key == model.Figures[model.LandingSpeed].Key {
			limits = append(limits, text.Words(q.Key)+" "+p.Bounds[i].text(q))
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

// keeps reports whether a figure is within its limit, if it has one.
func (p Page) keeps(id model.Figure, v float64) bool {
	i := slices.IndexFunc(p.Limits, func(q table.Quantity) bool { return q.Key == model.Figures[id].Key })
	if i < 0 {
		return true
	}
	b := p.Bounds[i]
	if b.Size {
		v = math.Abs(v)
	}
	return (!b.AtLeast.Applies || v >= b.AtLeast.Number) && (!b.AtMost.Applies || v <= b.AtMost.Number)
}

// landingPicture draws where the first design comes down.
func landingPicture(l touchdowns) (still, error) {
	first := l.Designs[0]
	caption := "Design 1: where it comes down under scatter; " + first.Words
	if len(first.Drift) == 0 {
		return still{caption, ""}, nil
	}
	plane := newPlane(l.Drift.label(), l.Speed.label())
	points := make(plotter.XYs, len(first.Drift))
	for i := range points {
		points[i] = plotter.XY{X: first.Drift[i], Y: first.Speed[i]}
	}
	dots, err := plotter.NewScatter(points)
	if err != nil {
		return still{}, err
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: blue, Radius: 2, Shape: draw.CircleGlyph{}}
	plane.Add(dots)
	plane.X.Min, plane.X.Max = l.Drift.span(slices.Concat(first.Drift, []float64{0}))
	plane.Y.Min, plane.Y.Max = l.Speed.span(first.Speed)
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
	for _, v := range []table.Value{a.Least, a.Most} {
		if v.Applies {
			all = append(all, v.Number)
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
