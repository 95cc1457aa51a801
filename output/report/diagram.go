package report

import (
	"fmt"
	"html/template"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
)

// A diagram is a picture of one number against another, drawn as SVG. What is added
// later lies on top; lengths on paper are in points.
type diagram struct {
	title, xLabel, yLabel string
	x, y                  extent // of what is shown
	items                 []func(p *paper)
	legend                []func(p *paper, y float64)
}

// An extent is what an axis shows; one of nothing is empty.
type extent struct{ min, max float64 }

type point struct{ x, y float64 }

// newDiagram returns an empty diagram with the names of its axes.
func newDiagram(x, y string) *diagram {
	none := extent{math.Inf(1), math.Inf(-1)}
	return &diagram{xLabel: x, yLabel: y, x: none, y: none}
}

func (e *extent) take(v float64) { e.min, e.max = min(e.min, v), max(e.max, v) }

// shown returns the extent with some room around it, so that nothing lies on the
// axes.
func (e extent) shown() extent {
	switch {
	case e.min > e.max:
		return extent{0, 1}
	case e.min == e.max:
		return extent{e.min - 1, e.max + 1}
	}
	room := 0.03 * (e.max - e.min)
	return extent{e.min - room, e.max + room}
}

func (p *diagram) take(points []point) {
	for _, at := range points {
		p.x.take(at.x)
		p.y.take(at.y)
	}
}

// dots adds a glyph of that radius at each point.
func (p *diagram) dots(points []point, g glyph, radius float64) {
	p.take(points)
	p.items = append(p.items, func(to *paper) {
		for _, at := range points {
			x, y := to.at(at)
			g.draw(to, x, y, radius)
		}
	})
}

// line adds a line through points.
func (p *diagram) line(points []point, c color.Color, width float64) {
	p.take(points)
	p.items = append(p.items, func(to *paper) {
		var d strings.Builder
		for i, at := range points {
			x, y := to.at(at)
			d.WriteString(stroke(i, x, y))
		}
		to.write(`<path d="%s" fill="none" stroke="%s" stroke-width="%s"/>`, d.String(), hex(c), number(width))
	})
}

// across and along add a dashed line through the whole diagram, at a number of
// the one or the other axis.
func (p *diagram) across(y float64) {
	p.y.take(y)
	p.items = append(p.items, func(to *paper) {
		_, at := to.at(point{to.x.min, y})
		to.rule(to.left, at, to.left+to.width, at, grey, 1, "4 3")
	})
}

func (p *diagram) along(x float64) {
	p.x.take(x)
	p.items = append(p.items, func(to *paper) {
		at, _ := to.at(point{x, to.y.min})
		to.rule(at, to.top, at, to.top+to.height, grey, 1, "4 3")
	})
}

// word adds a word beside a point.
func (p *diagram) word(at point, s string) {
	p.items = append(p.items, func(to *paper) {
		x, y := to.at(at)
		to.text(x+4, y-3, "start", 8, s)
	})
}

// named adds a line to the legend, with what is drawn before the word.
func (p *diagram) named(word string, sample func(to *paper, x, y float64)) {
	p.legend = append(p.legend, func(to *paper, y float64) {
		x := to.left + to.width
		sample(to, x-8, y)
		to.text(x-18, y+3, "end", 8, word)
	})
}

// A paper is where a plane is drawn: the place of its axes, and what they show.
type paper struct {
	out                      strings.Builder
	left, top, width, height float64
	x, y                     extent
}

// at returns where a point lies.
func (p *paper) at(v point) (x, y float64) {
	return p.left + p.width*(v.x-p.x.min)/(p.x.max-p.x.min), p.top + p.height*(p.y.max-v.y)/(p.y.max-p.y.min)
}

func (p *paper) write(format string, args ...any) { fmt.Fprintf(&p.out, format, args...) }

func (p *paper) rule(x1, y1, x2, y2 float64, c color.Color, width float64, dashes string) {
	p.write(`<path d="M%s %sL%s %s" stroke="%s" stroke-width="%s"`, number(x1), number(y1), number(x2), number(y2), hex(c), number(width))
	if dashes != "" {
		p.write(` stroke-dasharray="%s"`, dashes)
	}
	p.write("/>")
}

func (p *paper) text(x, y float64, anchor string, size float64, s string) {
	p.write(`<text x="%s" y="%s" text-anchor="%s" font-size="%s">%s</text>`, number(x), number(y), anchor, number(size), template.HTMLEscapeString(s))
}

// draw returns the diagram as an SVG element group, so wide and high.
func (p *diagram) draw(width, height float64) string {
	const left, right, above, below = 46, 10, 8, 30
	to := &paper{left: left, top: above, width: width - left - right, height: height - above - below, x: p.x.shown(), y: p.y.shown()}
	if p.title != "" {
		to.top, to.height = to.top+12, to.height-12
		to.text(left+to.width/2, 12, "middle", 10, p.title)
	}
	for _, v := range ticks(to.x) {
		x, _ := to.at(point{v, to.y.min})
		to.rule(x, to.top, x, to.top+to.height, pale, 0.5, "")
		to.text(x, to.top+to.height+10, "middle", 8, strconv.FormatFloat(v, 'g', 4, 64))
	}
	for _, v := range ticks(to.y) {
		_, y := to.at(point{to.x.min, v})
		to.rule(left, y, left+to.width, y, pale, 0.5, "")
		to.text(left-4, y+3, "end", 8, strconv.FormatFloat(v, 'g', 4, 64))
	}
	to.rule(left, to.top, left, to.top+to.height, black, 0.5, "")
	to.rule(left, to.top+to.height, left+to.width, to.top+to.height, black, 0.5, "")
	to.text(left+to.width/2, height-6, "middle", 9, p.xLabel)
	to.write(`<text transform="translate(10 %s) rotate(-90)" text-anchor="middle" font-size="9">%s</text>`,
		number(to.top+to.height/2), template.HTMLEscapeString(p.yLabel))
	for _, item := range p.items {
		item(to)
	}
	for i, line := range p.legend {
		line(to, to.top+8+12*float64(i))
	}
	return to.out.String()
}

// svg opens an SVG of that size, in points, with the fonts of the page.
func svg(attributes string, width, height float64) string {
	return fmt.Sprintf(`<svg%s xmlns="http://www.w3.org/2000/svg" width="%spt" height="%spt" viewBox="0 0 %[2]s %[3]s" font-family="sans-serif">`,
		attributes, number(width), number(height))
}

// ticks returns round numbers within an extent, some four to eight: steps of 1, 2
// or 5 times a power of ten.
func ticks(e extent) []float64 {
	power := math.Pow10(int(math.Floor(math.Log10((e.max - e.min) / 4))))
	step := power
	for _, more := range []float64{2, 5} {
		if (e.max-e.min)/(more*power) >= 4 {
			step = more * power
		}
	}
	var all []float64
	for k := math.Ceil(e.min / step); k*step <= e.max && len(all) < 20; k++ {
		all = append(all, k*step+0) // no −0
	}
	return all
}

// A glyph marks a point, in a colour and a shape.
type glyph struct {
	color color.Color
	shape shape
}

type shape int

const (
	disc shape = iota
	triangle
	cross
	square
	plus
)

// outlines are the shapes but for the disc, in radii around the point.
var outlines = map[shape][][]point{
	triangle: {{{0, -1.1}, {1, 0.7}, {-1, 0.7}, {0, -1.1}}},
	cross:    {{{-0.8, -0.8}, {0.8, 0.8}}, {{-0.8, 0.8}, {0.8, -0.8}}},
	square:   {{{-0.9, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {-0.9, 0.9}, {-0.9, -0.9}}},
	plus:     {{{-1, 0}, {1, 0}}, {{0, -1}, {0, 1}}},
}

func (g glyph) draw(to *paper, x, y, radius float64) {
	if g.shape == disc {
		to.write(`<circle cx="%s" cy="%s" r="%s" fill="%s"/>`, number(x), number(y), number(radius), hex(g.color))
		return
	}
	var d strings.Builder
	for _, line := range outlines[g.shape] {
		for i, at := range line {
			d.WriteString(stroke(i, x+radius*at.x, y+radius*at.y))
		}
	}
	to.write(`<path d="%s" fill="none" stroke="%s" stroke-width="0.8"/>`, d.String(), hex(g.color))
}

// stroke is point i of a line in a path.
func stroke(i int, x, y float64) string {
	if i == 0 {
		return "M" + number(x) + " " + number(y)
	}
	return "L" + number(x) + " " + number(y)
}

// hex writes a colour as SVG has it.
func hex(c color.Color) string {
	r, g, b, _ := c.RGBA()
	return fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8)
}

// number writes a length on paper, to a hundredth of a point.
func number(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// pointsOf returns the points that can be drawn.
func pointsOf(xs, ys []float64) []point {
	var points []point
	for i, x := range xs {
		points = append(points, point{x, ys[i]})
	}
	return slices.DeleteFunc(points, func(p point) bool { return !(math.Abs(p.x) < mostDrawn && math.Abs(p.y) < mostDrawn) })
}
