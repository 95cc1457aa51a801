package terminal

import (
	"fmt"
	"strings"

	"ullage/output/runs"
	"ullage/output/text"
	"ullage/output/wording"
)

// Answers returns the answers that a run keeps for a terminal, a line each.
func Answers(a *runs.Answers) string {
	var b strings.Builder
	if a.Knee != "" {
		b.WriteString(text.Folded("", "design 1: "+text.Plain(a.Knee, text.MessageLength)))
	}
	for _, line := range a.Doubts {
		b.WriteString(text.Folded("  ", text.Plain(line, text.MessageLength)))
	}
	for _, line := range wording.Prices(a.Prices) {
		fmt.Fprintf(&b, "there %s\n", line)
	}
	if bands := wording.Bands(a.Bands); len(bands) > 0 {
		fmt.Fprintf(&b, "each alone may move so far within the limits and 1 %% of %s:\n", text.Plain(a.Goal, text.TitleLength))
		for _, line := range bands {
			fmt.Fprintf(&b, "  %s\n", line)
		}
	}
	return b.String()
}
