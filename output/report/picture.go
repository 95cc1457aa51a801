package report

import (
	"fmt"
	"html/template"
	"math"

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
	pale = palette.RGB(palette.Light.Line)
)

// pictures draws each pair of goals against each other, and the flight of the
// first design.
func (p *Page) pictures(axes []axis, knee bool) []still {
	var all []still
	if len(p.rows) > 1 {
		for i := range p.brief.Goals {
			for j := range i {
				all = append(all, frontPicture(axes[j], axes[i], knee))
			}
		}
	}
	if len(p.flights) == 0 || len(p.flights[0].Time) == 0 {
		return all
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
		all = append(all, flightPicture(g.caption, g.y, f.Time, g.values, g.least, g.from))
	}
	return all
}

func frontPicture(x, y axis, hasKnee bool) still {
	plane := newDiagram(x.label(), y.label())
	var points, knee []point
	for i := range x.Values {
		if drawable(x.Values[i]) && drawable(y.Values[i]) {
			points = append(points, point{float64(x.Values[i]), float64(y.Values[i])})
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
		return still{caption, ""}
	}
	plane.dots(points, glyph{blue, disc}, 2)
	plane.dots(knee, glyph{black, square}, 4)
	for _, limit := range []struct {
		of   axis
		dash func(at float64)
	}{{x, plane.along}, {y, plane.across}} {
		for _, bound := range limit.of.bounds() {
			if limit.of.near(bound) {
				limit.dash(bound)
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
// measured in a workshop.
func drawable(v table.Number) bool { return math.Abs(float64(v)) < mostDrawn }

const mostDrawn = 1e9

func (a axis) label() string {
	if a.Unit == "" {
		return a.Name
	}
	return a.Name + ", " + a.Unit
}

func flightPicture(caption, y string, t []float64, values []table.Number, least float64, from table.Number) still {
	plane := newDiagram("time after release, s", y)
	var points []point
	for i, v := range values {
		if drawable(v) && drawable(table.Number(t[i])) {
			points = append(points, point{t[i], float64(v)})
		}
	}
	if len(points) == 0 {
		return still{caption, ""}
	}
	plane.line(points, blue, 1.2)
	if !math.IsInf(least, 0) {
		plane.across(least)
		caption += fmt.Sprintf("; dashed: the limit, at least %s", text.Three(least))
		if drawable(from) {
			plane.along(float64(from))
			caption += ", from where the guide ends"
		}
	}
	return drawn(caption, plane)
}

// drawn returns a diagram as a picture of the page, some 8.4 by 6 cm.
func drawn(caption string, p *diagram) still {
	const width, height = 238, 170
	head := svg(" role=\"img\" aria-label=\""+template.HTMLEscapeString(caption)+"\"", width, height)
	return still{caption, template.HTML(head + p.draw(width, height) + "</svg>")}
}
