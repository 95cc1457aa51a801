package text

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
)

// Fly returns one flight of b in words, for a terminal: how it ended, each
// figure and each limit with three significant figures and its unit, and the
// warnings. "-" stands for what is not there. Fitted says whether the brief was
// fitted to a flight log.
func Fly(b *brief.Brief, r *study.Row, fitted bool) string {
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
				unit = Show(info.Key, info.Unit).Unit
			}
			if i == int(model.Apogee) {
				unit = ApogeeUnit(r.Figures[i], fitted)
			}
			lines = append(lines, [3]string{info.Key, Show(info.Key, info.Unit).Value(r.Figures[i]), unit})
		}
		block(&out, "figures", lines)
		if len(b.Limits) > 0 {
			block(&out, "limits: distance to each, positive inside", limitLines(b, r))
		}
	}
	if r.Warnings != 0 {
		out.WriteString("\n")
	}
	for _, text := range r.Warnings.Texts() {
		fmt.Fprintf(&out, "caution: %s\n", text)
	}
	return out.String()
}

func designLines(b *brief.Brief, x []float64) [][3]string {
	lines := make([][3]string, len(x))
	for i := range b.Vary {
		show := Show(b.Vary[i].Key, b.Vary[i].Unit)
		lines[i] = [3]string{b.Vary[i].Key, show.Number(x[i]), show.Unit}
	}
	return lines
}

// ApogeeUnit returns what follows an apogee, in m: its unit, and how far it is
// to be trusted.
func ApogeeUnit(apogee float64, fitted bool) string {
	info := model.Figures[model.Apogee]
	show := Show(info.Key, info.Unit)
	switch {
	case math.IsNaN(apogee):
		return ""
	case apogee <= 0:
		return show.Unit
	}
	// The band has no more decimals than the number that it belongs to.
	places := 0
	if _, fraction, ok := strings.Cut(show.Number(apogee), "."); ok {
		places = len(fraction)
	}
	share, why := output.Trust(fitted)
	band := strconv.FormatFloat(share*apogee*show.Scale, 'f', places, 64)
	return fmt.Sprintf("± %s %s (%s, %.0f %%)", band, show.Unit, why, math.Round(share*100))
}

func limitLines(b *brief.Brief, r *study.Row) [][3]string {
	binding := r.Binding(b)
	lines := make([][3]string, len(b.Limits))
	for i := range b.Limits {
		l, slack := &b.Limits[i], r.Slacks[i]
		lines[i] = [3]string{l.Metric.Key, "-", "missed: the flight does not have it"}
		if math.IsNaN(slack) {
			continue
		}
		show := Show(l.Metric.Key, l.Unit)
		notes := show.Unit
		if slack < 0 {
			notes += " missed"
		}
		if slices.Contains(binding, l.Metric.Key) {
			notes += " binding"
		}
		lines[i] = [3]string{l.Metric.Key, show.Difference(slack), strings.TrimSpace(notes)}
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
		text := fmt.Sprintf("  %-*s  %*s %s", name, line[0], number, line[1], line[2])
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
}
