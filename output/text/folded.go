package text

import (
	"strings"
	"unicode/utf8"
)

// Folded returns lines of prose for a terminal, each begun with mark and folded
// at its width, with what is folded indented as far as the mark.
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

// Wrap cuts a text at the last space that leaves at most width columns before
// it.
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
