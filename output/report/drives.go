package report

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

// A driven is what drives one number of the flights.
type driven struct {
	Name   string
	Common string // what is said of all its quantities
	Chart  template.HTML
	Parts  []part
}

// A part is that of one quantity.
type part struct {
	Name         string
	First, Total output.Estimate // Total and the intervals are NaN where rows tell the first only
}

// ofIndices tells what drives what from the table of indices; numbers that do not
// vary are left out.
func (p *SweepPage) ofIndices(rows []output.IndexRow) []driven {
	var all []driven
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Number == rows[0].Number {
			n++
		}
		of := driven{Name: named(rows[0].Number), Common: fmt.Sprintf("from %d rows of the sample", rows[0].Rows)}
		for _, r := range rows[:n] {
			if !isNaN(r.Total.Value) {
				of.Parts = append(of.Parts, part{named(r.Quantity), r.First, r.Total})
			}
		}
		rows = rows[n:]
		if len(of.Parts) > 0 {
			slices.SortStableFunc(of.Parts, func(x, y part) int { return cmp.Compare(y.Total.Value, x.Total.Value) })
			all = append(all, of.drawn())
		}
	}
	return all
}

// ofRows tells it from the rows themselves.
func (p *SweepPage) ofRows() []driven {
	var all []driven
	for k := range p.census.numbers {
		of, sum := driven{Name: text.Words(p.census.numbers[k].Key)}, 0.0
		for i := range p.brief.Vary {
			share, ok := p.census.ratios[k][i].Share()
			if !ok {
				break
			}
			one := part{Name: text.Words(p.brief.Vary[i].Key), First: output.NoEstimate(), Total: output.NoEstimate()}
			one.First.Value = table.Number(share)
			sum += share
			of.Parts = append(of.Parts, one)
		}
		if len(of.Parts) < len(p.brief.Vary) {
			continue
		}
		if !p.run.FeasibleOnly {
			of.Common = "together " + percent(min(max(sum, 0), 1)) + "; the rest is what they do with each other"
		}
		slices.SortStableFunc(of.Parts, func(x, y part) int { return cmp.Compare(y.First.Value, x.First.Value) })
		all = append(all, of.drawn())
	}
	return all
}

// named returns a key that a file holds as people read it.
func named(key string) string { return text.Plain(text.Words(key), text.TitleLength) }

// Of the bars, in units of their drawing.
const (
	barsWidth = 420.0
	barsLeft  = 150.0 // where a share of 0 is
	barsRight = 375.0 // where one of 1 is
	barsRow   = 26.0
)

// drawn adds the picture: a bar is what a quantity does alone, a line with ends the
// interval of its total.
func (d driven) drawn() driven {
	var out strings.Builder
	x := func(share float64) float64 { return barsLeft + min(max(share, 0), 1)*(barsRight-barsLeft) }
	height := barsRow*float64(len(d.Parts)) + 22
	for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
		fmt.Fprintf(&out, `<path class="rule" d="M %.1f 0 V %.1f"/><text class="small" x="%.1f" y="%.1f" text-anchor="middle">%.0f %%</text>`,
			x(share), height-18, x(share), height-4, 100*share)
	}
	for i, p := range d.Parts {
		mid := barsRow * (float64(i) + 0.5)
		fmt.Fprintf(&out, `<text x="%.1f" y="%.1f" text-anchor="end">%s</text>`, barsLeft-8, mid+4, template.HTMLEscapeString(p.Name))
		fmt.Fprintf(&out, `<rect class="bar" x="%.1f" y="%.1f" width="%.1f" height="13"/>`, barsLeft, mid-6.5, x(float64(p.First.Value))-barsLeft)
		if !isNaN(p.Total.Value) {
			low, high, at := x(float64(p.Total.Low)), x(float64(p.Total.High)), x(float64(p.Total.Value))
			fmt.Fprintf(&out, `<path class="whisker" d="M %.1f %.1f H %.1f M %.1f %.1f V %.1f M %.1f %.1f V %.1f"/><circle class="whisker" cx="%.1f" cy="%.1f" r="3.5"/>`,
				low, mid, high, low, mid-4, mid+4, high, mid-4, mid+4, at, mid)
		}
	}
	d.Chart = template.HTML(fmt.Sprintf(`<svg class="drawing bars" role="img" aria-label="What drives %s: shares of its variance; the table holds the same numbers" viewBox="0 0 %.0f %.0f">%s</svg>`,
		template.HTMLEscapeString(d.Name), barsWidth, height, out.String()))
	return d
}

// FirstText and TotalText tell a part in numbers.
func (p part) FirstText() string { return estimateText(p.First) }
func (p part) TotalText() string { return estimateText(p.Total) }

func estimateText(e output.Estimate) string {
	if isNaN(e.Low) {
		return percent(max(float64(e.Value), 0))
	}
	return fmt.Sprintf("%s ± %s %%", text.Decimals(100*float64(e.Value), 1), text.Decimals(50*float64(e.High-e.Low), 1))
}

// percent writes a share; one that is not nothing is not written as nothing.
func percent(share float64) string {
	v := 100 * share
	decimals := 0
	switch {
	case v > 0 && v < 0.05:
		return "under 0.1 %"
	case math.Abs(v) < 9.95:
		decimals = 1
	}
	return text.Decimals(v, decimals) + " %"
}

// reasonsOf are what forbids flights: the limits in the order of the brief, then
// that a flight could not be computed.
func reasonsOf(b *brief.Brief) []string {
	var names []string
	for i := range b.Limits {
		names = append(names, text.Words(b.Limits[i].Metric.Key)+" "+bounds(&b.Limits[i]))
	}
	return append(names, "not flown to its end")
}
