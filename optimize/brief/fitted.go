package brief

import "strings"

// FittedMark begins the comment of a brief that says what it was fitted to.
const FittedMark = "# fitted to "

// fittedTo returns what a brief says that it was fitted to, or "".
func fittedTo(src []byte) string {
	for line := range strings.Lines(string(src)) {
		if origin, ok := strings.CutPrefix(line, FittedMark); ok {
			return strings.TrimSpace(origin)
		}
	}
	return ""
}
