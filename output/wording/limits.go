package wording

import (
	"cmp"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/table"
	"ullage/output/text"
)

// ClassName names the class whose limits a brief keeps; "" where there is none.
func ClassName(b *brief.Brief) string {
	return text.Plain(cmp.Or(b.Class.Title, b.Class.File), text.TitleLength)
}

// NotJudged returns a line that names the default limits that a brief switches
// off, and one that says that a rocket has no canopy; "" where there is neither.
func NotJudged(b *brief.Brief) string {
	line := ""
	if len(b.NotJudged) > 0 {
		line = "NOT JUDGED: " + strings.Join(b.NotJudged, ", ") + "\n"
	}
	if b.Rocket.Recovery.Canopy == 0 {
		line += noCanopy + "\n"
	}
	return line
}

// noCanopy is what every output of a rocket without a canopy says.
const noCanopy = "NO CANOPY: it comes down without one; look at its landing speed and energy"

// Misses stands before the first of the limits that a design misses.
const Misses = "misses "

// LimitWords lists the limits that matter to a row, Misses before those that it
// misses; else those that bind, but for the keys in always, which bind in every
// row. Of a robust search it lists those that some flights of its proof miss.
func LimitWords(b *brief.Brief, r *study.Row, always []string) []string {
	if missed := r.Missed(b); len(missed) > 0 {
		missed[0] = Misses + missed[0]
		return missed
	}
	if r.Proof != nil {
		return missedBySome(b, r.Proof)
	}
	return slices.DeleteFunc(r.Binding(b), func(key string) bool { return slices.Contains(always, key) })
}

// missedBySome lists the limits that some flights of a proof miss, the least
// kept first.
func missedBySome(b *brief.Brief, p *study.Proof) []string {
	var at []int
	for i, c := range p.Chances {
		if c.Met < c.Flights {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(i, k int) int { return cmp.Compare(p.Chances[i].Share(), p.Chances[k].Share()) })
	return table.Gather(at, func(i int) string { return b.Limits[i].Metric.Key })
}
