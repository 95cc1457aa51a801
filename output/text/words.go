package text

import (
	"fmt"
	"strings"
)

// Words turns keys into words: "chamber.fill" into "chamber fill".
func Words(keys string) string { return strings.NewReplacer("_", " ", ".", " ").Replace(keys) }

// Count writes so many of a noun whose plural takes an s.
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
