package wording

import (
	"fmt"
	"slices"
	"strings"

	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/table"
	"ullage/output/text"
)

// ComparedWith returns the heading of Changes(a, b), which names both runs.
func ComparedWith(a, b *output.Compared) string {
	return fmt.Sprintf("in the brief of %s, beside that of %s:", text.Plain(b.Name, text.TitleLength), text.Plain(a.Name, text.TitleLength))
}

// Changes says what the brief of b has that differs from that of a, a key a line,
// or in one line that nothing does.
func Changes(a, b *output.Compared) []string {
	changes := brief.Changes(a.Brief, b.Brief)
	if len(changes) == 0 {
		return []string{"nothing differs"}
	}
	shown := func(s string) string {
		if s == "" {
			return "not there"
		}
		return text.Plain(s, text.TitleLength)
	}
	return table.Gather(changes, func(c brief.Change) string {
		return fmt.Sprintf("%s: %s, there %s", text.Plain(c.Key, text.TitleLength), shown(c.Now), shown(c.Was))
	})
}

// Beaten says, below a line on what counts, of each run which of its designs which
// other runs beat.
func Beaten(c *output.Comparison) []string {
	goals := text.Words(strings.Join(table.Gather(c.Goals, func(g brief.Goal) string { return g.Key + " " + g.Describe() }), ", "))
	lines := []string{"better in a goal and worse in none (" + goals + "), as set:"}
	for i := range c.Runs {
		of := &c.Runs[i]
		for k := range c.Runs {
			var beaten []string
			for row, b := range of.Beaten {
				if b.Run == k {
					beaten = append(beaten, fmt.Sprint(of.Rows[row].Design))
				}
			}
			if len(beaten) > 0 {
				lines = append(lines, fmt.Sprintf("%s beats %d of the %d designs of %s: %s", text.Plain(c.Runs[k].Name, text.TitleLength), len(beaten),
					len(of.Rows), text.Plain(of.Name, text.TitleLength), text.Fit(beaten, text.LineWidth, "designs")))
			}
		}
		if !slices.ContainsFunc(of.Beaten, func(b output.Beater) bool { return b.Run >= 0 }) {
			lines = append(lines, fmt.Sprintf("no design of %s is beaten", text.Plain(of.Name, text.TitleLength)))
		}
	}
	return lines
}
