package text

import (
	"strings"
	"unicode"
)

// TitleLength is what a title, a name or a path may take of a line, MessageLength
// what a message may take of a page, in characters.
const (
	TitleLength   = 120
	MessageLength = 4096
)

// mostMarks is how many marks (accents, vowel signs) may stand on one letter: no
// script needs more, and a pile of them covers other lines.
const mostMarks = 3

// Plain returns text of foreign origin as it is safe to print: one line of at
// most that many characters that say what they seem to say. Breaks and tabs
// become a space. What steers a terminal or a page (escapes, changes of
// direction) or cannot be seen (zero width, fillers, bytes that are no UTF-8)
// becomes "\uFFFD", one for each run of it. Longer text ends with "…".
//
// Whatever a brief, a run's folder or a worker names goes through here where it
// is shown.
func Plain(foreign string, most int) string {
	var out []rune
	marks := 0
	for _, r := range strings.TrimSpace(foreign) {
		if !unicode.In(r, unicode.Mn, unicode.Me) {
			marks = 0
		}
		switch {
		case r == '\n' || r == '\r' || r == '\t' || r == '\v' || r == '\f' || r == '\u0085' || r == '\u2028' || r == '\u2029':
			r = ' '
		case unicode.In(r, unicode.Mn, unicode.Me) && marks < mostMarks && len(out) > 0 && !hidden(r):
			marks++
			out = append(out, r)
			continue
		case !unicode.IsGraphic(r) || hidden(r) || unicode.In(r, unicode.Mn, unicode.Me):
			r = unicode.ReplacementChar
		}
		if r == unicode.ReplacementChar && len(out) > 0 && out[len(out)-1] == r {
			continue
		}
		if out = append(out, r); len(out) > most {
			break
		}
	}
	if len(out) > most {
		out = append(out[:max(most-1, 0)], '…')
	}
	return strings.TrimSpace(string(out))
}

// hidden reports whether a character takes no ink although it counts as
// graphic.
func hidden(r rune) bool {
	return unicode.In(r, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector) || r == '\u2800' || r == unicode.ReplacementChar
}
