package brief_test

import (
	"strings"
	"testing"
	"unicode"

	"ullage/optimize/brief"
	"ullage/testdata/briefs"
)

// FuzzSet puts two settings in the place of values of a sound brief: every fault
// is one line that names its place, and what is accepted is written into the
// brief's own settings.
func FuzzSet(f *testing.F) {
	src := briefs.Read(f, "field-day.toml")
	for _, set := range []string{"chamber.throat=9 mm", "fins.count=4", "part[1].mass = 400 g", "search.flights=500", "goals.apogee=lowest", "body.nose.shape=cone", "vary.fins.span=\"1\"", "=", "a.b.c=\n"} {
		f.Add(set, "chamber.fill=400 ml")
	}
	f.Fuzz(func(t *testing.T, one, two string) {
		b, err := brief.Parse("x.toml", src, one, two)
		if err == nil {
			if len(b.Set) != 2 {
				t.Errorf("%q, %q: settings %q", one, two, b.Set)
			}
			return
		}
		for line := range strings.SplitSeq(err.Error(), "\n") {
			if !strings.HasPrefix(line, "x.toml:") && !strings.HasPrefix(line, "--set ") {
				t.Errorf("%q, %q: a fault without a place: %q", one, two, line)
			}
			if strings.ContainsRune(line, '\r') || strings.TrimFunc(line, unicode.IsSpace) == "" {
				t.Errorf("%q, %q: fault %q", one, two, line)
			}
		}
	})
}
