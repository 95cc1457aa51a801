package output

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ullage/model"
)

// FlyText returns one flight in words, for a terminal: how it ended, each
// figure and each limit with three significant figures and its unit, and the
// warnings. "-" stands for what does not apply.
func (l Layout) FlyText(r Row) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", r.Outcome)
	if len(l.Varied) > 0 {
		lines := make([][3]string, len(l.Varied))
		for i, q := range l.Varied {
			lines[i] = [3]string{q.Key, display(q).number(r.X[i]), display(q).unit}
		}
		block(&b, "design", lines)
	}
	if r.Outcome == model.Landed {
		lines := make([][3]string, len(l.Figures))
		for i, q := range l.Figures {
			lines[i] = [3]string{q.Key, display(q).value(r.Figures[i]), l.figureUnit(q, r.Figures[i])}
		}
		block(&b, "figures", lines)
		if len(l.Limits) > 0 {
			block(&b, "limits: distance to each, positive inside", l.limitLines(r))
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

// figureUnit returns what follows the number: the unit, and for the apogee
// how far it is to be trusted.
func (l Layout) figureUnit(q Quantity, v Value) string {
	unit := display(q).unit
	switch {
	case !v.Applies:
		return ""
	case q.Key != model.Figures[model.Apogee].Key || v.Number <= 0:
		return unit
	}
	// The band has no more decimals than the number that it belongs to.
	number := display(q).number(v.Number)
	places := 0
	if _, fraction, ok := strings.Cut(number, "."); ok {
		places = len(fraction)
	}
	share, why := l.trust()
	band := strconv.FormatFloat(share*v.Number*display(q).scale, 'f', places, 64)
	return fmt.Sprintf("± %s %s (%s, %.0f %%)", band, unit, why, math.Round(share*100))
}

func (l Layout) limitLines(r Row) [][3]string {
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
		notes := display(q).unit
		if s.Number < 0 {
			notes += " missed"
		}
		if binding[q.Key] {
			notes += " binding"
		}
		lines[i] = [3]string{q.Key, display(q).difference(s.Number), strings.TrimSpace(notes)}
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
