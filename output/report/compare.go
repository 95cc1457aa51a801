package report

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/file"
	"ullage/output/palette"
	"ullage/output/table"
	"ullage/output/text"
	"ullage/output/wording"
)

//go:embed compare.html
var compareHTML string

var compareTemplate = parsed("compare.html", compareHTML)

// MostCompared is how many runs a picture tells apart.
const MostCompared = 5

// glyphs tell runs apart by colour and by shape.
var glyphs = [MostCompared]struct {
	glyph
	words string
}{
	{glyph{blue, disc}, "blue dots"},
	{glyph{vermilion, triangle}, "vermilion triangles"},
	{glyph{green, cross}, "green crosses"},
	{glyph{purple, square}, "purple squares"},
	{glyph{black, plus}, "black pluses"},
}

// A comparedRow is a design on the page.
type comparedRow struct {
	Run, Words string
	Design     int
	Cells      []string
	Missed     bool
}

// A changed is what differs between two briefs.
type changed struct {
	Title string
	Lines []string
}

// WriteCompared writes a page of runs beside each other, at most MostCompared,
// which asks for nothing else and has no script. It errs where the file cannot be
// written, or where the template does not fit its data, which is the program's own
// fault.
func WriteCompared(path string, c *output.Comparison) error {
	page := struct {
		Policy, Title string
		Style         template.CSS
		Beaten        []string
		Pictures      []still
		Changes       []changed
		Heads         []axis
		Rows          []comparedRow
	}{
		Policy: "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'",
		Title:  fmt.Sprintf("%d runs beside each other", len(c.Runs)), Style: template.CSS(palette.Style() + reportCSS), Beaten: wording.Beaten(c)[1:],
	}
	for i := range c.Goals {
		g := &c.Goals[i]
		s := text.Show(g.Key, g.Unit)
		page.Heads = append(page.Heads, axis{Name: text.Words(g.Key), Unit: s.Unit})
		for j := range i {
			page.Pictures = append(page.Pictures, comparedPicture(c, &c.Goals[j], g))
		}
	}
	for i := range c.Runs {
		run := &c.Runs[i]
		if i > 0 {
			page.Changes = append(page.Changes, changed{"I" + wording.ComparedWith(&c.Runs[0], run)[1:], wording.Changes(&c.Runs[0], run)})
		}
		for k := range run.Rows {
			page.Rows = append(page.Rows, comparedRowOf(c, run, k))
		}
	}
	var out bytes.Buffer
	if err := compareTemplate.Execute(&out, page); err != nil {
		return err
	}
	return file.Write(path, out.Bytes())
}

func comparedRowOf(c *output.Comparison, run *output.Compared, k int) comparedRow {
	r := &run.Rows[k]
	row := comparedRow{Run: text.Plain(run.Name, text.TitleLength), Design: r.Design, Missed: len(r.Missed(run.Brief)) > 0}
	row.Cells = table.Gather(c.Goals, func(g brief.Goal) string { return text.Show(g.Key, g.Unit).Value(run.Number(&g.Metric, r)) })
	if b := run.Beaten[k]; b.Run >= 0 {
		row.Words = fmt.Sprintf("%d of %s", b.Design, text.Plain(c.Runs[b.Run].Name, text.TitleLength))
	}
	return row
}

// comparedPicture draws two goals of all runs against each other.
func comparedPicture(c *output.Comparison, x, y *brief.Goal) still {
	along := func(g *brief.Goal, run *output.Compared, r *study.Row) float64 {
		s := text.Show(g.Key, g.Unit)
		return run.Number(&g.Metric, r)*s.Scale + s.Offset
	}
	label := func(g *brief.Goal) string {
		return axis{Name: text.Words(g.Key), Unit: text.Show(g.Key, g.Unit).Unit}.label()
	}
	plane := newDiagram(label(x), label(y))
	caption := text.Words(x.Key) + " against " + text.Words(y.Key)
	for i := range c.Runs {
		run := &c.Runs[i]
		var xs, ys []float64
		for k := range run.Rows {
			xs, ys = append(xs, along(x, run, &run.Rows[k])), append(ys, along(y, run, &run.Rows[k]))
		}
		caption += "; " + glyphs[i].words + ": " + text.Plain(run.Name, text.TitleLength)
		plane.dots(pointsOf(xs, ys), glyphs[i].glyph, 2.5)
	}
	return drawn(caption, plane)
}
