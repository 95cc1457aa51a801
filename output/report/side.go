package report

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/study"
	"ullage/output/table"
	"ullage/output/text"
)

// Of the side view, in units of its drawing.
const (
	sideWidth  = 760.0
	sideHeight = 150.0 // most of the rocket itself
	sideEdge   = 30.0
	labelRow   = 18.0 // from line to line of words
)

// sideViews draws every design from the side.
func (p *Page) sideViews() []template.HTML {
	return table.Gather(p.rows, func(r study.Row) template.HTML {
		rocket, site := p.brief.At(r.X)
		statics, ok := model.Weigh(&rocket, &site)
		if !ok {
			return ""
		}
		return sideView(r.Design, &rocket, &statics)
	})
}

// A tick is a station that a side view names.
type tick struct {
	word    string
	station float64 // m from the nose tip
}

// sideView draws a rocket to scale, the nose to the left, with its dimensions and
// the stations that matter, in mm from the nose tip. It holds no foreign text.
func sideView(design int, r *model.Rocket, s *model.Statics) template.HTML {
	b, f := &r.Body, &r.Fins
	half := b.Diameter/2 + f.Span
	length := max(b.Length, f.Station+max(f.Root, f.Rake+f.Tip))
	scale := min((sideWidth-2*sideEdge)/length, sideHeight/(2*half))
	left := (sideWidth - length*scale) / 2
	axis := 2*labelRow + 14 + half*scale
	x := func(station float64) string { return text.Decimals(left+station*scale, 1) }
	y := func(off float64) string { return text.Decimals(axis+off, 1) }
	at := func(station, off float64) string { return x(station) + " " + y(-off*scale) }
	mm := func(v float64) string { return text.Decimals(v*1e3, 0) }

	var out strings.Builder
	var upper, lower []string
	for _, p := range b.Profile() {
		upper, lower = append(upper, at(p[0], p[1])), append(lower, at(p[0], -p[1]))
	}
	slices.Reverse(lower)
	fmt.Fprintf(&out, `<path class="hull" d="M %s Z"/>`, strings.Join(append(upper, lower...), " L "))
	sheet := f.Sheet(b.Diameter / 2)
	for _, side := range []float64{1, -1} {
		corner := func(i int) string { return at(sheet[i][0], side*sheet[i][1]) }
		fmt.Fprintf(&out, `<path class="hull" d="M %s L %s L %s L %s Z"/>`, corner(0), corner(1), corner(2), corner(3))
	}
	nozzle := b.Length - r.Chamber.Neck
	water := min(max(s.WaterStation, 0), nozzle)
	fmt.Fprintf(&out, `<rect class="water" x="%s" y="%s" width="%s" height="%s"/>`, x(water), y(-r.Chamber.Bore/2*scale),
		text.Decimals((nozzle-water)*scale, 1), text.Decimals(r.Chamber.Bore*scale, 1))

	word := func(station, off float64, anchor, words string) {
		fmt.Fprintf(&out, `<text x="%s" y="%s" text-anchor="%s">%s</text>`, x(station), y(off), anchor, words)
	}
	line := func(station, from, to float64) {
		fmt.Fprintf(&out, `<path class="tick" d="M %s %s V %s"/>`, x(station), y(from), y(to))
	}
	edge := half * scale
	above := []tick{{"CG at release", s.LiftoffCG}, {"CG empty", s.DryCG}}
	below := []tick{{"CP", s.CP}, {"water level", s.WaterStation}}
	for i := range above { // all lines first, so that words stand over them
		off := edge + 6 + float64(i)*labelRow
		line(above[i].station, 0, -off)
		line(below[i].station, 0, off)
	}
	for i := range above {
		off := edge + 6 + float64(i)*labelRow
		word(above[i].station, -off-3, anchorOf(left+above[i].station*scale), above[i].word+" "+mm(above[i].station))
		word(below[i].station, off+12, anchorOf(left+below[i].station*scale), below[i].word+" "+mm(below[i].station))
	}
	// Overall length under all words, the heights of body and fin beside it in words.
	under := edge + 2*labelRow + 22
	fmt.Fprintf(&out, `<path class="tick" d="M %s %s V %s M %s %s V %s M %s %s H %s"/>`, x(0), y(under-5), y(under+5), x(b.Length), y(under-5), y(under+5),
		x(0), y(under), x(b.Length))
	word(b.Length/2, under+16, "middle", fmt.Sprintf("%s long, %s across; fins of span %s, root %s, tip %s; all in mm from the nose tip", mm(b.Length), mm(b.Diameter), mm(f.Span), mm(f.Root), mm(f.Tip)))

	label := fmt.Sprintf("Design %d from the side, to scale: CG at release %s, CG empty %s, CP %s, water level %s mm from the nose tip", design,
		mm(s.LiftoffCG), mm(s.DryCG), mm(s.CP), mm(s.WaterStation))
	height := axis + under + 24
	return template.HTML(fmt.Sprintf(`<svg class="drawing" role="img" aria-label="%s" viewBox="0 0 %.0f %.0f">%s</svg>`, label, sideWidth, math.Ceil(height), out.String()))
}

// anchorOf keeps words at the ends of a drawing within it.
func anchorOf(x float64) string {
	switch {
	case x < 100:
		return "start"
	case x > sideWidth-100:
		return "end"
	}
	return "middle"
}

// Of the picture of a path, in units of its drawing.
const (
	planeWidth  = 520.0
	planeHeight = 300.0
)

// planeViews draws the path of every design in the plane of flight.
func (p *Page) planeViews() []template.HTML {
	views := make([]template.HTML, len(p.rows))
	for i, r := range p.rows {
		_, site := p.brief.At(r.X)
		views[i] = planeView(r.Design, &p.flights[i], site.Wind)
	}
	return views
}

// planeView draws a path to one scale in both directions, downwind to the right,
// with the wind, in m/s. It holds no foreign text.
func planeView(design int, f *trajectory, wind float64) template.HTML {
	low, high, top, apogee := 0.0, 0.0, 0.0, 0
	for i := range f.X {
		low, high = min(low, f.X[i]), max(high, f.X[i])
		if v := float64(f.Height[i]); v > top {
			top, apogee = v, i
		}
	}
	if top <= 0 {
		return ""
	}
	const edge, ground = 60.0, planeHeight - 40
	scale := min((planeWidth-2*edge)/(high-low), (ground-50)/top)
	left := (planeWidth - (high-low)*scale) / 2
	x := func(v float64) float64 { return left + (v-low)*scale }
	at := func(i int) string {
		return text.Decimals(x(f.X[i]), 1) + " " + text.Decimals(ground-float64(f.Height[i])*scale, 1)
	}
	var points []string
	for i := range f.X {
		points = append(points, at(i))
	}
	var out strings.Builder
	fmt.Fprintf(&out, `<path class="tick" d="M 10 %g H %g"/><path class="path" d="M %s"/>`, ground, planeWidth-10, strings.Join(points, " L "))
	last := len(f.X) - 1
	down := f.X[last]
	fmt.Fprintf(&out, `<text x="%.1f" y="%.1f" text-anchor="middle">apogee %s m</text>`, x(f.X[apogee]), ground-top*scale-6, text.Three(top))
	for _, of := range []struct {
		at   float64
		word string
		row  float64
	}{{0, "pad", 0}, {down, "down at " + text.Three(down) + " m", 1}} {
		fmt.Fprintf(&out, `<path class="tick" d="M %.1f %g V %g"/><text x="%.1f" y="%g" text-anchor="middle">%s</text>`,
			x(of.at), ground-4, ground+4, x(of.at), ground+16+of.row*14, of.word)
	}
	words := "no wind"
	if wind != 0 {
		words = "wind " + text.Three(math.Abs(wind)) + " m/s at 10 m"
		tail, head := 16.0, 56.0
		if wind < 0 {
			tail, head = head, tail
		}
		fmt.Fprintf(&out, `<path class="tick" d="M %g 30 H %g m %g -4 L %g 30 l %g 4"/>`, tail, head, (tail-head)/5, head, (tail-head)/5)
	}
	fmt.Fprintf(&out, `<text x="16" y="20">%s</text>`, words)
	label := fmt.Sprintf("Path of design %d in the plane of flight, to scale: apogee %s m at %s m downwind, down at %s m; %s", design, text.Three(top), text.Three(f.X[apogee]), text.Three(down), words)
	return template.HTML(fmt.Sprintf(`<svg class="drawing" role="img" aria-label="%s" viewBox="0 0 %g %g">%s</svg>`, label, planeWidth, planeHeight, out.String()))
}
