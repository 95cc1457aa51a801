package text

import (
	"fmt"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Visible returns what is printed, JSON among it, with whatever steers a terminal
// or cannot be seen written as JSON escapes it, as in "\u202e": so JSON still says
// the same. Breaks between lines and tabs stay. It is the last gate, for what did
// not pass Plain.
func Visible(printed []byte) []byte {
	out := make([]byte, 0, len(printed))
	for len(printed) > 0 {
		r, size := utf8.DecodeRune(printed)
		switch {
		case r == utf8.RuneError && size == 1:
			out = append(out, `\ufffd`...)
		case r == '\n' || r == '\t' || r == utf8.RuneError || unicode.IsGraphic(r) && !hidden(r):
			out = append(out, printed[:size]...)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			out = fmt.Appendf(out, `\u%04x\u%04x`, high, low)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
		printed = printed[size:]
	}
	return out
}
