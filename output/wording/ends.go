package wording

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/text"
)

// Ends says which quantities stand at an end of their range where a front of b
// is best, and in which goal, in a line; none where none does.
func Ends(b *brief.Brief, rows []study.Row) []string {
	values := make([][]float64, len(b.Goals))
	for k := range b.Goals {
		g := &b.Goals[k]
		for i := range rows {
			values[k] = append(values[k], output.NumberOf(b, &g.Metric, &rows[i]))
		}
	}
	var words []string // a quantity each, in the order of the brief
	bests := answers.BestsAtEnds(b, rows, values)
	for i := range b.Vary {
		for _, value := range []float64{b.Vary[i].Lowest(), b.Vary[i].Highest()} {
			var goals []string
			for _, best := range bests {
				if slices.ContainsFunc(best.Ends, func(e answers.AtEnd) bool { return e.Key == b.Vary[i].Key && e.Value == value }) {
					goals = append(goals, best.Goal.Key)
				}
			}
			if goals != nil {
				words = append(words, fmt.Sprintf("%s %s at the best %s", b.Vary[i].Key, shownWith(b.Vary[i].Quantity, value), strings.Join(goals, " and ")))
			}
		}
	}
	if words == nil {
		return nil
	}
	return []string{"at an end of its range, which may hide a better one: " + strings.Join(words, "; ")}
}

func shownWith(q *brief.Quantity, v float64) string {
	show := text.Show(q.Key, q.Unit)
	return strings.TrimSpace(show.Number(v) + " " + show.Unit)
}

// HowNear says how near the nearest design of b, the first of rows, came to the
// limits that it misses, what of it stands at an end of its range, and what
// helps where safety hangs on the limit, in lines; none where it misses none.
func HowNear(b *brief.Brief, rows []study.Row) []string {
	if len(rows) == 0 {
		return nil
	}
	var reached, helps []string
	for _, key := range rows[0].Missed(b) {
		k := slices.IndexFunc(b.Limits, func(l brief.Limit) bool { return l.Metric.Key == key })
		l := &b.Limits[k]
		reached = append(reached, reachedWords(b, l, k, &rows[0]))
		if l.Safety() {
			helps = append(helps, key+": "+helpFor(l))
		}
	}
	if reached == nil {
		return nil
	}
	line := "nearest, design 1: " + strings.Join(reached, "; ")
	if ends := answers.EndsOf(b, rows[0].X); len(ends) > 0 {
		var words []string
		for _, end := range ends {
			words = append(words, end.Key+" "+shownWith(end.Quantity, end.Value))
		}
		line += "; at an end of its range there: " + strings.Join(words, ", ")
	}
	lines := []string{line}
	if helps != nil {
		lines = append(lines, "what helps: "+strings.Join(helps, "; "))
	}
	return lines
}

// reachedWords says what a row reached of limit k and what is wanted.
func reachedWords(b *brief.Brief, l *brief.Limit, k int, r *study.Row) string {
	key, show, slack := l.Metric.Key, text.Show(l.Metric.Key, l.Unit), r.Slacks[k]
	unit := func(v float64) string { return strings.TrimSpace(show.Number(v) + " " + show.Unit) }
	want, reached := "at least "+unit(l.AtLeast), l.AtLeast+slack
	if output.NumberThere(b, &l.Metric, r) > l.AtMost || math.IsInf(l.AtLeast, -1) {
		want, reached = "at most "+unit(l.AtMost), l.AtMost-slack
	}
	switch {
	case math.IsNaN(slack):
		return key + " is not there, wanted " + want
	case r.Proof != nil:
		return fmt.Sprintf("%s %s as set, wanted %s and kept in %s %% of the flights%s",
			key, unit(reached), want, text.Percent(r.Proof.Chances[k].Share()), shownWords(b, l, k, r.Proof))
	}
	return fmt.Sprintf("%s reached %s, wanted %s", key, unit(reached), want)
}

// shownWords says which bound instead of limit k would have been proved.
func shownWords(b *brief.Brief, l *brief.Limit, k int, p *study.Proof) string {
	show, shown := text.Show(l.Metric.Key, l.Unit), p.Shown[k]
	two := !math.IsInf(l.AtLeast, 0) && !math.IsInf(l.AtMost, 0)
	if two || math.IsNaN(shown) {
		return ""
	}
	bound, v := "at least ", -rounded(-(l.AtLeast+shown)*show.Scale-show.Offset)
	if math.IsInf(l.AtLeast, -1) {
		bound, v = "at most ", rounded((l.AtMost-shown)*show.Scale+show.Offset)
	}
	return fmt.Sprintf("; %s is proved for %s %% of them", strings.TrimSpace(bound+text.Three(v)+" "+show.Unit), text.Percent(b.Search.Robust.Confidence))
}

// rounded returns v up to three significant figures: no less is claimed than was
// shown.
func rounded(v float64) float64 {
	if v == 0 {
		return v
	}
	step := math.Pow10(int(math.Floor(math.Log10(math.Abs(v)))) - 2)
	return math.Ceil(v/step-text.Lossless) * step
}

// Proved says in a sentence what the proof of a robust search took and left.
func Proved(p *runs.Proof) string {
	if p.Each == 0 { // a run of an older build
		return fmt.Sprintf("%s flown %d times under scatter, %d dropped: a limit does not hold with a chance of %g", text.Count(p.Checked, "design"), p.Draws, p.Dropped, p.Confidence)
	}
	return fmt.Sprintf("%s screened by up to %d flights under scatter; %d proved by %d others each, %d of them dropped: a limit does not hold with a chance of %g",
		text.Count(p.Screened, "design"), p.Draws, p.Checked, p.Each, p.Dropped, p.Confidence)
}

// helps says what moves a figure to the safe side: common practice, no source.
// No limit of safety is to be eased.
var helps = []struct{ key, words string }{
	{"margin", stabler},
	{"guide_margin", stabler},
	{"dry_margin", stabler},
	{"peak_incidence", "a faster start, less tilt, more fin, or a day with less wind"},
	{"gust_incidence", "a faster start, more fin, or a day with less wind"},
	{"landing_speed", "a larger canopy or less mass"},
	{"deploy_speed", "a timer nearer to the top"},
	{"guide_speed", "a wider throat, less water, less mass or a longer guide"},
	{"acceleration", "a lower pressure, a smaller throat or more mass"},
	{"drift", "a lower pressure, a smaller canopy, or a day with less wind"},
	{"flutter_factor", "thicker or shorter fins, or a lower pressure"},
	{"proof_ratio", "a lower pressure, or a chamber that is tested higher, with water"},
	{"chamber.pressure", "a lower pressure"},
}

const stabler = "more fin, ballast in the nose, or less water"

func helpFor(l *brief.Limit) string {
	for _, h := range helps {
		if h.key == l.Metric.Key {
			return h.words
		}
	}
	return "a lower pressure"
}
