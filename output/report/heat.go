package report

import (
	"cmp"
	"fmt"
	"html/template"
	"strings"

	"ullage/output/palette"
)

// Of a still map, in units of its drawing.
const (
	heatWidth  = 420.0
	heatHeight = 300.0
	heatLeft   = 62.0
	heatTop    = 8.0
	heatRight  = 408.0
	heatBottom = 250.0
)

// stills draws a plane: the share within every limit, and where flights that are
// not were kept, what forbids most.
func (p *SweepPage) stills(of *plane) []still {
	x, y := &p.census.bins[of.X], &p.census.bins[of.Y]
	over := " over " + x.Name + " and " + y.Name
	most := 0.0
	for cell := range of.Rows {
		share, _ := of.share(cell)
		most = max(most, share)
	}
	shares := p.heat(of, "Share within every limit"+over+", from none, pale, to "+percent(most)+", dark", func(cell int) (fill, letters string) {
		share, ok := of.share(cell)
		if !ok {
			return "", ""
		}
		return palette.Light.At(share / cmp.Or(most, 1)), ""
	})
	if p.run.FeasibleOnly {
		return []still{shares}
	}
	return []still{shares, p.heat(of, "What forbids most"+over+", by the letters of the table; pale: nothing", func(cell int) (fill, letters string) {
		if _, ok := of.share(cell); !ok {
			return "", ""
		}
		k := of.hardest(cell)
		if k < 0 {
			return palette.Light.Ramp[0], ""
		}
		return palette.Light.Series[k%len(palette.Light.Series)], letter(k)
	})}
}

// heat draws cells with what paint gives of each: a colour, none where it has no
// flights, and a letter.
func (p *SweepPage) heat(of *plane, caption string, paint func(cell int) (fill, letters string)) still {
	x, y := &p.census.bins[of.X], &p.census.bins[of.Y]
	nx, ny := len(x.Words), len(y.Words)
	wide, high := (heatRight-heatLeft)/float64(nx), (heatBottom-heatTop)/float64(ny)
	var out strings.Builder
	for cell := range of.Rows {
		fill, word := paint(cell)
		if fill == "" {
			continue
		}
		left, top := heatLeft+float64(cell%nx)*wide, heatBottom-float64(cell/nx+1)*high
		fmt.Fprintf(&out, `<rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="%s"/>`, left, top, wide, high, fill)
		if word != "" {
			fmt.Fprintf(&out, `<text x="%.1f" y="%.1f" text-anchor="middle" font-size="%.1f" fill="%s">%s</text>`, left+wide/2, top+high/2+3, min(11, high), palette.On(fill), word)
		}
	}
	fmt.Fprintf(&out, `<rect x="%g" y="%g" width="%g" height="%g" fill="none" stroke="%s"/>`, heatLeft, heatTop, heatRight-heatLeft, heatBottom-heatTop, palette.Light.Faint)
	ink := fmt.Sprintf(`font-size="11" fill="%s"`, palette.Light.Ink)
	for _, i := range marked(nx) {
		fmt.Fprintf(&out, `<text x="%.1f" y="%g" text-anchor="middle" %s>%s</text>`, heatLeft+(float64(i)+0.5)*wide, heatBottom+14, ink, x.Marks[i])
	}
	for _, i := range marked(ny) {
		fmt.Fprintf(&out, `<text x="%g" y="%.1f" text-anchor="end" %s>%s</text>`, heatLeft-5, heatBottom-(float64(i)+0.5)*high+4, ink, y.Marks[i])
	}
	fmt.Fprintf(&out, `<text x="%g" y="%g" text-anchor="middle" %s>%s</text>`, (heatLeft+heatRight)/2, heatBottom+34, ink, template.HTMLEscapeString(x.label()))
	fmt.Fprintf(&out, `<text transform="translate(14 %g) rotate(-90)" text-anchor="middle" %s>%s</text>`, (heatTop+heatBottom)/2, ink, template.HTMLEscapeString(y.label()))
	return still{caption, template.HTML(fmt.Sprintf(`<svg role="img" aria-label="%s" viewBox="0 0 %g %g">%s</svg>`, template.HTMLEscapeString(caption), heatWidth, heatHeight, out.String()))}
}

// marked lists the bins of an axis that get a number: at most 6.
func marked(n int) []int {
	step := (n + 5) / 6
	var at []int
	for i := 0; i < n; i += step {
		at = append(at, i)
	}
	return at
}
