// Package briefs hands the demo briefs to the tests of other packages. Start
// from Demo and Edited.
package briefs

import (
	"embed"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

//go:embed *.toml
var files embed.FS

// Read returns a demo brief as it is written.
func Read(t testing.TB, name string) []byte {
	t.Helper()
	src, err := files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// Demo returns a demo brief with the values that set replaces.
func Demo(t testing.TB, name string, set ...string) *brief.Brief {
	t.Helper()
	return Parse(t, Read(t, name), set...)
}

// Parse returns the brief of a text that has no fault.
func Parse(t testing.TB, src []byte, set ...string) *brief.Brief {
	t.Helper()
	b, err := brief.Parse("x.toml", src, set...)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Edited returns a demo brief in whose text the first of each pair is replaced
// once by the second.
func Edited(t testing.TB, name string, pairs ...string) []byte {
	t.Helper()
	text := string(Read(t, name))
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%s has no %q", name, pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return []byte(text)
}

// ADay is scatter from day to day.
const ADay = `[scatter.day]
"site.wind" = "2 m/s"
"body.drag" = "5 %"
`

// Scattering returns the field-day brief with more in [scatter].
func Scattering(t testing.TB, more string, set ...string) *brief.Brief {
	t.Helper()
	return Parse(t, Edited(t, "field-day.toml", "[search]", more+"\n[search]"), set...)
}

// Roomy returns the field-day brief with limits that designs can keep under
// scatter, for a search on one island; edits are pairs as in Edited.
func Roomy(t testing.TB, edits []string, set ...string) *brief.Brief {
	t.Helper()
	edits = append(edits, `{ at_most = "10 m/s" }`, `{ at_most = "16 m/s" }`, `{ at_most = "70 m" }`, `{ at_most = "110 m" }`,
		`{ at_least = "18 m/s" }`, `{ at_least = "16.5 m/s" }`)
	return Parse(t, Edited(t, "field-day.toml", edits...), append(set, "search.islands=1")...)
}
