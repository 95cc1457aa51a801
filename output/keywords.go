package output

import "strings"

// plain turns keys into words: "chamber.fill" into "chamber fill".
func plain(keys string) string { return strings.NewReplacer("_", " ", ".", " ").Replace(keys) }
