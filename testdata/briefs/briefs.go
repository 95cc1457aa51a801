// Package briefs hands the demo briefs to the tests of other packages. Start
// from Demo and Edited.
package briefs

import (
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata"
)

// High names the field-day brief set for height: as set, it misses limits.
const High = "field-day-high.toml"

// high holds what High sets instead.
var high = []string{
	`throat   = "10.5 mm"`, `throat   = "11 mm"`, `fill     = 0.13 `, `fill     = 0.30 `, `span = "150 mm"`, `span = "130 mm"`,
	`mass = "220 g"`, `mass = "80 g"`, `delay = "4 s"`, `delay = "5.2 s"`,
}

// Read returns a demo brief as it is written, with the class in it that it names,
// or High.
func Read(t testing.TB, name string) []byte {
	t.Helper()
	if name == High {
		return Edited(t, "field-day.toml", high...)
	}
	src, ok := testdata.Brief(strings.TrimSuffix(name, ".toml"))
	if !ok {
		t.Fatalf("no demo brief %s", name)
	}
	file := brief.ClassFile(src)
	if file == "" {
		return src
	}
	class, ok := testdata.Class(file)
	if !ok {
		t.Fatalf("%s: no class %s", name, file)
	}
	whole, err := brief.WithClass(name, src, file, class)
	if err != nil {
		t.Fatal(err)
	}
	return whole
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
	return Parse(t, Edited(t, High, "[search]", more+"\n[search]"), set...)
}

// Roomy returns the field-day brief with limits that designs can keep under
// scatter, for a search on one island; edits are pairs as in Edited.
func Roomy(t testing.TB, edits []string, set ...string) *brief.Brief {
	t.Helper()
	edits = append(edits, `{ at_most = "10 m/s" }`, `{ at_most = "16 m/s" }`, `{ at_most = "70 m" }`, `{ at_most = "110 m" }`,
		`{ at_least = "18 m/s" }`, `{ at_least = "16.5 m/s" }`)
	return Parse(t, Edited(t, High, edits...), append(set, "search.islands=1")...)
}

// Listed is the demo brief with edges of the fins and canopies to choose from, 90 cm
// its own.
func Listed(t testing.TB) *brief.Brief {
	t.Helper()
	return Parse(t, Edited(
		t, "field-day.toml",
		"[[part]]\nname = \"canopy and line\"\nmass = \"50 g\"\nstation = \"220 mm\"\n", "",
		"line = \"400 N\"\n", "line = \"400 N\"\nmass = \"50 g\"\nstation = \"220 mm\"\n",
		"[vary]\n", "[vary]\n\"fins.edges\" = { choices = [\"cut\", \"radiused\", \"faired\"] }\n\"recovery.canopy\" = { choices = [{ canopy = \"130 cm\", mass = \"95 g\" }, "+
			"{ canopy = \"75 cm\", mass = \"38 g\" }, { canopy = \"110 cm\", mass = \"71 g\" }, { canopy = \"90 cm\", mass = \"50 g\" }] }\n",
	))
}
