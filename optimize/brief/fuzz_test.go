package brief_test

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/optimize/study"
)

// FuzzParse holds that Parse never panics, that every line of its error has a
// place, and that an accepted brief has finite numbers and a problem that can
// be asked for.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{demos + "*.toml", demos + "bad/*.toml"} {
		files, _ := filepath.Glob(pattern)
		for _, file := range files {
			f.Add(read(f, file), "chamber.throat=9 mm")
		}
	}
	f.Add([]byte("a.\"\".b = [[{}], 1]\n[[part]]\n[part.x]\n[[part.y]]\n"), "=")
	f.Fuzz(func(t *testing.T, src []byte, set string) {
		b, err := brief.Parse("x.toml", src, set)
		if err != nil {
			if text := err.Error(); !strings.HasPrefix(text, "x.toml:") && !strings.HasPrefix(text, "--set ") {
				t.Errorf("a fault without a place: %s", text)
			}
			return
		}
		for _, q := range brief.Quantities() {
			if v := q.Value(&b.Rocket, &b.Site); math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s = %v", q.Key, v)
			}
		}
		finite := func(what, key string, v float64) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s %s: %v", what, key, v)
			}
		}
		for _, l := range b.Limits {
			if !math.IsInf(l.AtLeast, -1) {
				finite("limit", l.Key, l.AtLeast)
			}
			if !math.IsInf(l.AtMost, 1) {
				finite("limit", l.Key, l.AtMost)
			}
		}
		for _, g := range b.Goals {
			finite("goal", g.Key, g.Target)
		}
		for _, s := range slices.Concat(b.Scatter, b.Day) {
			finite("scatter", s.Key, s.Deviation)
		}
		for _, v := range b.Vary {
			finite("vary", v.Key, v.From+v.To+v.Step)
		}
		p, err := study.Problem(b)
		if err != nil {
			return
		}
		for i, v := range b.Vary {
			if x := p.First[0][i]; v.Choices == nil && !(x >= v.From && x <= v.To) {
				t.Errorf("first %s = %v, want %v to %v", v.Key, x, v.From, v.To)
			}
		}
		b.At(p.First[0])
	})
}
