package report

import "strings"

// A Comparison is a log of heights beside what a model says: s, m. Heights
// that are NaN are left out.
type Comparison struct {
	Name               string
	Time, Logged, Says []float64
}

// Compare returns an SVG: for every log its heights with the model's, and below
// them what lies between, over the time after lift-off.
func Compare(logs []Comparison) []byte {
	const width, height = 397, 198 // points: 14 by 7 cm
	var out strings.Builder
	out.WriteString(svg("", width*float64(len(logs)), 2*height))
	for i := range logs {
		for row, p := range logs[i].planes() {
			out.WriteString(`<g transform="translate(` + number(width*float64(i)) + " " + number(height*float64(row)) + `)">` + p.draw(width, height) + "</g>")
		}
	}
	out.WriteString("</svg>\n")
	return []byte(out.String())
}

// planes returns the heights of a log and its residuals.
func (l *Comparison) planes() [2]*diagram {
	between := make([]float64, len(l.Time))
	for i := range between {
		between[i] = l.Logged[i] - l.Says[i] // NaN where nothing was logged
	}
	reading := glyph{blue, disc}
	heights, gaps := newDiagram("", "height, m"), newDiagram("time after lift-off, s", "log − model, m")
	heights.title = l.Name
	heights.dots(pointsOf(l.Time, l.Logged), reading, 1)
	heights.line(pointsOf(l.Time, l.Says), vermilion, 1)
	heights.named("log", func(to *paper, x, y float64) { reading.draw(to, x, y, 1) })
	heights.named("fitted model", func(to *paper, x, y float64) { to.rule(x-8, y, x+8, y, vermilion, 1, "") })
	gaps.dots(pointsOf(l.Time, between), reading, 1)
	return [2]*diagram{heights, gaps}
}
