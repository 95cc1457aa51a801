package text

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Folded returns lines of prose, each begun with mark and folded at LineWidth
// columns, with what is folded indented as far as the mark; every line ends with a
// break.
func Folded(mark string, lines ...string) string {
	var b strings.Builder
	for _, line := range lines {
		begin := mark
		for line != "" {
			var first string
			first, line = Wrap(line, LineWidth-len(mark))
			b.WriteString(begin + first + "\n")
			begin = strings.Repeat(" ", len(mark))
		}
	}
	return b.String()
}

// Wrap cuts a text at the last space that leaves at most width columns before it,
// and drops that space; rest is empty where the text is short enough, or has no
// such space.
func Wrap(text string, width int) (first, rest string) {
	if utf8.RuneCountInString(text) <= width {
		return text, ""
	}
	head := string([]rune(text)[:width+1])
	at := strings.LastIndexByte(head, ' ')
	if at <= 0 {
		return text, ""
	}
	return text[:at], text[at+1:]
}

// LineWidth is the most columns that a line may take: terminals and mail show 100
// without wrapping.
const LineWidth = 100

// Fit joins words by commas within a width in columns; those that have no room become
// a count, where none has it one of noun, what they are.
func Fit(words []string, width int, noun string) string {
	for n := len(words); n > 0; n-- {
		text := strings.Join(words[:n], ", ")
		if n < len(words) {
			text += fmt.Sprintf(" +%d", len(words)-n)
		}
		if utf8.RuneCountInString(text) <= width {
			return text
		}
	}
	if len(words) == 0 {
		return ""
	}
	return fmt.Sprintf("%d %s", len(words), noun)
}
