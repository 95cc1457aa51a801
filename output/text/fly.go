package text

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ullage/model"
	"ullage/output"
	"ullage/output/table"
)

// Fly returns one flight in words, for a terminal: how it ended, each
// figure and each limit with three significant figures and its unit, and the
// warnings. "-" stands for what does not apply.
func Fly(l output.Layout, r output.Row) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", r.Outcome)
	if len(l.Varied) > 0 {
		lines := make([][3]string, len(l.Varied))
		for i, q := range l.Varied {
			lines[i] = [3]string{q.Key, Show(q).Number(r.X[i]), Show(q).Unit}
		}
		block(&b, "design", lines)
	}
	if r.Outcome == model.Landed {
		lines := make([][3]string, len(l.Figures))
		for i, q := range l.Figures {
			lines[i] = [3]string{q.Key, Show(q).Value(r.Figures[i]), FigureUnit(l, q, r.Figures[i])}
		}
		block(&b, "figures", lines)
		if len(l.Limits) > 0 {
			block(&b, "limits: distance to each, positive inside", limitLines(l, r))
		}
	}
	if r.Warnings != 0 {
		b.WriteString("\n")
	}
	for _, text := range r.Warnings.Texts() {
		fmt.Fprintf(&b, "caution: %s\n", text)
	}
	return b.String()
}

// FigureUnit returns what follows the number: the unit, and for the apogee
// how far it is to be trusted.
func FigureUnit(l output.Layout, q table.Quantity, v table.Value) string {
	unit := Show(q).Unit
	switch {
	case !v.Applies:
		return ""
	case q.Key != model.Figures[model.Apogee].Key || v.Number <= 0:
		return unit
	}
	// The band has no more decimals than the number that it belongs to.
	number := Show(q).Number(v.Number)
	places := 0
	if _, fraction, ok := strings.Cut(number, "."); ok {
		places = len(fraction)
	}
	share, why := l.Trust()
	band := strconv.FormatFloat(share*v.Number*Show(q).Scale, 'f', places, 64)
	return fmt.Sprintf("± %s %s (%s, %.0f %%)", band, unit, why, math.Round(share*100))
}

func limitLines(l output.Layout, r output.Row) [][3]string {
	binding := map[string]bool{}
	for _, key := range r.Binding {
		binding[key] = true
	}
	lines := make([][3]string, len(l.Limits))
	for i, q := range l.Limits {
		s := r.Slacks[i]
		lines[i] = [3]string{q.Key, "-", "missed: the flight does not have it"}
		if !s.Applies {
			continue
		}
		notes := Show(q).Unit
		if s.Number < 0 {
			notes += " missed"
		}
		if binding[q.Key] {
			notes += " binding"
		}
		lines[i] = [3]string{q.Key, Show(q).Difference(s.Number), strings.TrimSpace(notes)}
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
