package text

import "strings"

// Words turns keys into words: "chamber.fill" into "chamber fill".
func Words(keys string) string { return strings.NewReplacer("_", " ", ".", " ").Replace(keys) }
