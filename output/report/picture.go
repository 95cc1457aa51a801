package report

import (
	"bytes"
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"ullage/model"
	"ullage/output/palette"
	"ullage/output/table"
	"ullage/output/text"
)

// A still is a still picture: what prints, and what shows where
// scripts do not run.
type still struct {
	Caption string
	SVG     template.HTML
}

// The colours of still pictures.
var (
	blue, vermilion, green, purple, black, grey = palette.RGB(palette.Light.Series[0]), palette.RGB(palette.Light.Series[1]), palette.RGB(palette.Light.Series[2]),
		palette.RGB(palette.Light.Series[3]), palette.RGB(palette.Light.Series[4]), palette.RGB(palette.Light.Series[5])
	rule = palette.RGB(palette.Light.Line)
)

// pictures draws each pair of goals against each other, and the flight of the
// first design.
func (p *Page) pictures(axes []axis, knee bool) ([]still, error) {
	var all []still
	if len(p.rows) > 1 {
		for i := range p.brief.Goals {
			for j := range i {
				picture, err := frontPicture(axes[j], axes[i], knee)
				if err != nil {
					return nil, err
				}
				all = append(all, picture)
			}
		}
	}
	if len(p.flights) == 0 || len(p.flights[0].Time) == 0 {
		return all, nil
	}
	f, thrust := p.flights[0], 0
	for thrust < len(f.Time)-1 && f.Time[thrust] < 2*f.Ends {
		thrust++
	}
	margin := math.Inf(-1)
	if l := p.limit(model.Figures[model.Margin].Key); l != nil {
		margin = l.AtLeast
	}
	none := table.Number(math.NaN())
	for _, g := range []struct {
		caption, y string
		values     []table.Number
		least      float64
		from       table.Number
	}{
		{"Design 1: height over the whole flight", "height, m", f.Height, math.Inf(-1), none},
		{"Design 1: speed over the whole flight", "speed, m/s", f.Speed, math.Inf(-1), none},
		{"Design 1: margin, up to twice the time of thrust", "margin, cal", f.Margin[:thrust+1], margin, f.Guide},
	} {
		picture, err := flightPicture(g.caption, g.y, f.Time, g.values, g.least, g.from)
		if err != nil {
			return nil, err
		}
		all = append(all, picture)
	}
	return all, nil
}

func frontPicture(x, y axis, hasKnee bool) (still, error) {
	plane := newPlane(x.label(), y.label())
	var points, knee plotter.XYs
	for i := range x.Values {
		if drawable(x.Values[i]) && drawable(y.Values[i]) {
			points = append(points, plotter.XY{X: float64(x.Values[i]), Y: float64(y.Values[i])})
			if i == 0 && hasKnee {
				knee = points[:1:1]
			}
		}
	}
	caption := "The front: " + x.Name + " against " + y.Name
	if len(knee) > 0 {
		caption += "; the knee is the square"
	}
	if len(points) == 0 {
		return still{caption, ""}, nil
	}
	dots, err := plotter.NewScatter(points)
	if err != nil {
		return still{}, err
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: blue, Radius: 2, Shape: draw.CircleGlyph{}}
	plane.Add(dots)
	if len(knee) > 0 {
		square, err := plotter.NewScatter(knee)
		if err != nil {
			return still{}, err
		}
		square.GlyphStyle = draw.GlyphStyle{Color: black, Radius: 4, Shape: draw.SquareGlyph{}}
		plane.Add(square)
	}
	for _, limit := range []struct {
		of   axis
		line func(at float64) plotter.XYs
	}{
		{x, func(at float64) plotter.XYs { return plotter.XYs{{X: at, Y: plane.Y.Min}, {X: at, Y: plane.Y.Max}} }},
		{y, func(at float64) plotter.XYs { return plotter.XYs{{X: plane.X.Min, Y: at}, {X: plane.X.Max, Y: at}} }},
	} {
		for _, bound := range limit.of.bounds() {
			if limit.of.near(bound) {
				if err := addDashes(plane, limit.line(bound)); err != nil {
					return still{}, err
				}
				caption += "; dashed: " + limit.of.Name + " " + limit.of.Limit
			}
		}
	}
	return drawn(caption, plane)
}

// near reports whether a bound lies close enough to the values to be drawn
// with them.
func (a axis) near(bound float64) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range a.Values {
		if drawable(v) {
			low, high = min(low, float64(v)), max(high, float64(v))
		}
	}
	reach := (high - low) / 2
	return bound >= low-reach && bound <= high+reach
}

// drawable reports whether a number is there and no larger than any that is
// measured in a workshop: the plots break on the largest.
func drawable(v table.Number) bool { return math.Abs(float64(v)) < 1e9 }

func (a axis) label() string {
	if a.Unit == "" {
		return a.Name
	}
	return a.Name + ", " + a.Unit
}

func flightPicture(caption, y string, t []float64, values []table.Number, least float64, from table.Number) (still, error) {
	plane := newPlane("time after release, s", y)
	var points plotter.XYs
	for i, v := range values {
		if drawable(v) && drawable(table.Number(t[i])) {
			points = append(points, plotter.XY{X: t[i], Y: float64(v)})
		}
	}
	if len(points) == 0 {
		return still{caption, ""}, nil
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return still{}, err
	}
	line.LineStyle = draw.LineStyle{Color: blue, Width: 1.2}
	plane.Add(line)
	if !math.IsInf(least, 0) {
		if err := addDashes(plane, plotter.XYs{{X: plane.X.Min, Y: least}, {X: plane.X.Max, Y: least}}); err != nil {
			return still{}, err
		}
		caption += fmt.Sprintf("; dashed: the limit, at least %s", text.Three(least))
		if drawable(from) {
			if err := addDashes(plane, plotter.XYs{{X: float64(from), Y: plane.Y.Min}, {X: float64(from), Y: plane.Y.Max}}); err != nil {
				return still{}, err
			}
			caption += ", from where the guide ends"
		}
	}
	return drawn(caption, plane)
}

// newPlane returns an empty diagram with a faint grid, lettered as the page.
func newPlane(x, y string) *plot.Plot {
	plane := plot.New()
	plane.X.Label.Text, plane.Y.Label.Text = x, y
	for _, axis := range []*plot.Axis{&plane.X, &plane.Y} {
		axis.Label.TextStyle.Font.Variant, axis.Tick.Label.Font.Variant = "Sans", "Sans"
		axis.Label.TextStyle.Font.Size, axis.Tick.Label.Font.Size = 9, 8
		axis.Tick.Marker = plot.TickerFunc(shortTicks)
	}
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = rule, rule
	plane.Add(grid)
	return plane
}

// shortTicks are the usual ticks without the zeros behind their numbers.
func shortTicks(low, high float64) []plot.Tick {
	ticks := plot.DefaultTicks{}.Ticks(low, high)
	for i, t := range ticks {
		if t.Label != "" {
			ticks[i].Label = strconv.FormatFloat(t.Value, 'g', 4, 64)
		}
	}
	return ticks
}

func addDashes(plane *plot.Plot, ends plotter.XYs) error {
	line, err := plotter.NewLine(ends)
	if err != nil {
		return err
	}
	line.LineStyle = draw.LineStyle{Color: grey, Width: 1, Dashes: []vg.Length{4, 3}}
	plane.Add(line)
	return nil
}

func drawn(caption string, plane *plot.Plot) (still, error) {
	canvas := vgsvg.New(8.4*vg.Centimeter, 6*vg.Centimeter)
	// Letters and dots at the ends of the axes reach beyond them.
	plane.Draw(draw.Crop(draw.New(canvas), 0, -12, 0, -6))
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return still{}, err
	}
	// Within a page an SVG has no prologue.
	_, svg, _ := strings.Cut(out.String(), "<svg")
	svg = "<svg role=\"img\" aria-label=\"" + template.HTMLEscapeString(caption) + "\"" + svg
	return still{caption, template.HTML(svg)}, nil
}
