package kept

import (
	"regexp"
	"strings"
)

var (
	bulk   = regexp.MustCompile(`(?s)(<style>|<script>).*?(</style>|</script>)`)
	hashes = regexp.MustCompile(`sha256-[A-Za-z0-9+/=]+|\b[0-9a-f]{64}\b`)
	keys   = regexp.MustCompile(`,("[A-Za-z]+":[\[{])`)
)

// Page returns a page as a record holds it: without styles, scripts and hashes, one
// tag or one object of its data a line.
func Page(page string) string {
	page = bulk.ReplaceAllString(page, "$1$2")
	page = hashes.ReplaceAllString(page, "HASH")
	page = strings.NewReplacer("><", ">\n<", "},{", "},\n{").Replace(page)
	return keys.ReplaceAllString(page, ",\n$1") + "\n"
}
