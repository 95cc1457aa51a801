package card

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"ullage/output/text"
)

// roomHeading stands above the distances to the limits.
const roomHeading = "room to each limit as set, positive inside; share of flights that keep it"

// stoppedHeading stands above what is done when a launch is not finished.
const stoppedHeading = "did not release, leaks, stopped"

// PadText returns the pad card as plain text, at most 100 columns wide.
func (c *Card) PadText() string {
	v := c.padView()
	var b strings.Builder
	fmt.Fprintf(&b, "%s\npad card: %s\n\n%s\n", v.Title, v.Design, v.Verdict)
	b.WriteString(text.Folded("  ", append(v.Missed, v.NotJudged, v.Mended, v.Judged)...))
	if !v.NoGo {
		spaced(&b, "set", lines(v.Set))
		spaced(&b, "expect", lines(v.Expect))
	}
	for _, w := range v.Warnings {
		fmt.Fprintf(&b, "  caution: %s\n", w)
	}
	room := make([][3]string, len(v.Room))
	for i, l := range v.Room {
		room[i] = [3]string{l.Name, l.Value, l.Note}
	}
	spaced(&b, roomHeading, room)
	if !v.NoGo {
		writeIfThen(&b, v.IfThen, v.Heads)
	}
	b.WriteString("\nwhere it may come down\n" + text.Folded("  ", v.Falls...) + text.Folded("  ", v.Field...))
	fmt.Fprintf(&b, "  stand-off, as your range rules state: ________ %s\n", v.Way)
	if !v.NoGo {
		b.WriteString("\nchecks before air\n" + text.Folded("  [ ] ", v.Checks...))
		b.WriteString("\n" + stoppedHeading + "\n" + text.Folded("  - ", v.Stopped...) + "\nmeasured\n")
		for _, line := range v.Blanks {
			fmt.Fprintf(&b, "  %-22s  %-15s ________\n", line.Name, line.Predicted)
		}
	}
	fmt.Fprintf(&b, "\ncautions\n%s\ncode %s, brief %s, ullage %s\n", text.Folded("  - ", v.Cautions...), v.Code, v.Brief, v.Version)
	return b.String()
}

func lines(cells []cell) [][3]string {
	lines := make([][3]string, len(cells))
	for i, c := range cells {
		lines[i] = [3]string{c.Name, c.Value, c.Note}
	}
	return lines
}

func writeIfThen(b *strings.Builder, lines []ifThenLine, heads [5]string) {
	b.WriteString("\nif, then\n")
	rows := [][]string{
		{"", "water", "timer", "height", "lands at", "drift", ""},
		append(append([]string{""}, heads[:]...), ""),
	}
	for _, l := range lines {
		rows = append(rows, []string{l.Doc, l.Water, l.Timer, l.Height, l.Landing, l.Drift, strings.TrimSpace(l.Verdict + " " + l.Why)})
	}
	writeColumns(b, rows)
	b.WriteString(text.Folded("  ", ifThenRule))
}

// spaced writes a heading and its lines: names and values flush left, notes
// after them.
func spaced(b *strings.Builder, heading string, lines [][3]string) {
	name, value := 0, 0
	for _, line := range lines {
		name, value = max(name, utf8.RuneCountInString(line[0])), max(value, utf8.RuneCountInString(line[1]))
	}
	fmt.Fprintf(b, "\n%s\n", heading)
	for _, line := range lines {
		text := fmt.Sprintf("  %-*s  %*s  %s", name, line[0], value, line[1], line[2])
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
}

// writeColumns writes a table: the first and last column flush left, the others
// flush right.
func writeColumns(b *strings.Builder, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, text := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(text))
		}
	}
	for _, row := range rows {
		line, used := " ", 0
		for i, text := range row {
			switch i {
			case 0:
				line += fmt.Sprintf(" %-*s", widths[i], text)
			case len(row) - 1:
				used = utf8.RuneCountInString(line) + 2
				line += "  " + text
			default:
				line += fmt.Sprintf("  %*s", widths[i], text)
			}
		}
		first, rest := text.Wrap(strings.TrimRight(line, " "), text.LineWidth)
		b.WriteString(first + "\n")
		for rest != "" {
			first, rest = text.Wrap(rest, text.LineWidth-used)
			b.WriteString(strings.Repeat(" ", used) + first + "\n")
		}
	}
}
