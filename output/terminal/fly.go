package terminal

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/text"
	"ullage/output/wording"
)

// Fly returns one flight of b in words, for a terminal: how it ended, each
// figure and each limit with three significant figures and its unit, and the
// warnings; how far figures may be off, by doubts, behind the figures. "-" stands
// for what is not there.
func Fly(b *brief.Brief, r *study.Row, doubts []answers.Doubt) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%s\n", r.Outcome)
	if len(b.Vary) > 0 {
		block(&out, "design", designLines(b, r.X))
	}
	if r.Outcome == model.Landed {
		var lines [][3]string
		for i, info := range study.Figures() {
			unit := ""
			if !math.IsNaN(r.Figures[i]) {
				unit = text.Show(info.Key, info.Unit).Unit
			}
			lines = append(lines, [3]string{info.Key, text.Show(info.Key, info.Unit).Value(r.Figures[i]), unit})
		}
		block(&out, "figures", lines)
		if len(doubts) > 0 {
			out.WriteString("\nhow far they may be off, 5 to 95 % of flights over what is not known of the rocket\n")
			out.WriteString(text.Folded("  ", wording.Doubts(b, doubts)...))
		}
		if len(b.Limits) > 0 {
			block(&out, "limits: distance to each, positive inside", limitLines(b, r))
		}
		out.WriteString(wording.NotJudged(b))
	}
	if r.Warnings != 0 {
		out.WriteString("\n")
	}
	for _, warning := range r.Warnings.Texts() {
		fmt.Fprintf(&out, "caution: %s\n", warning)
	}
	return out.String()
}

func designLines(b *brief.Brief, x []float64) [][3]string {
	var lines [][3]string
	for _, s := range output.Settings(b) {
		show := text.Show(s.Key, s.Unit)
		lines = append(lines, [3]string{s.Key, show.Number(s.Of(x)), show.Unit})
	}
	return lines
}

func limitLines(b *brief.Brief, r *study.Row) [][3]string {
	binding := r.Binding(b)
	lines := make([][3]string, len(b.Limits))
	for i := range b.Limits {
		l, slack := &b.Limits[i], r.Slacks[i]
		show := text.Show(l.Metric.Key, l.Unit)
		value, notes := show.Difference(slack), []string{show.Unit}
		switch {
		case math.IsNaN(slack):
			value, notes = "-", []string{"missed: the flight does not have it"}
		case slack < 0:
			notes = append(notes, "missed")
		}
		if slices.Contains(binding, l.Metric.Key) {
			notes = append(notes, "binding")
		}
		if l.Default {
			notes = append(notes, "(default)")
		}
		if l.Class {
			notes = append(notes, "(class)")
		}
		lines[i] = [3]string{l.Metric.Key, value, strings.TrimSpace(strings.Join(notes, " "))}
	}
	return lines
}

// block writes a heading and its lines: names flush left, numbers flush right,
// units after them.
func block(b *strings.Builder, heading string, lines [][3]string) {
	name, number := 0, 0
	for _, line := range lines {
		name, number = max(name, len(line[0])), max(number, len(line[1]))
	}
	fmt.Fprintf(b, "\n%s\n", heading)
	for _, line := range lines {
		row := fmt.Sprintf("  %-*s  %*s %s", name, line[0], number, line[1], line[2])
		b.WriteString(strings.TrimRight(row, " ") + "\n")
	}
}
