package terminal_test

import (
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/output/terminal"
)

// Materials stand below the key that names them, each key once.
func TestKeysNameMaterials(t *testing.T) {
	materials := brief.Materials()
	said := terminal.Keys(nil, materials)
	const where = ", where none was weighed or measured\n"
	parts := strings.Split("\n"+said, where)
	if len(parts) != 3 {
		t.Fatalf("%d headings, want one for the wall and one for the fins:\n%s", len(parts)-1, said)
	}
	wall, fins := parts[1], parts[2]
	if !strings.HasSuffix(parts[0], "\nchamber.material") || !strings.HasSuffix(wall, "\nfins.material") {
		t.Errorf("headings %q and %q, want the keys", parts[0], wall)
	}
	for _, m := range materials {
		under := map[string]string{"chamber.material": wall, "fins.material": fins}[m.Key]
		if !strings.Contains(under, `"`+m.Name+`": `) {
			t.Errorf("%s does not stand below %s:\n%s", m.Name, m.Key, said)
		}
	}
}

// Keys stand under the heading of their section, once; of each it is said how it is
// written, and units where there is a choice.
func TestKeysAreExplained(t *testing.T) {
	keys := []brief.Key{
		{Name: "site.wind", Doc: "wind", Example: `"3 m/s"`, Range: "0 to 40 m/s", Units: []string{"m/s", "km/h"}, Default: `"0 m/s"`},
		{Name: "site.tilt", Doc: "lean", Example: `"2 deg"`, Range: "0 to 45 deg", Units: []string{"deg"}, Default: "required"},
		{Name: "part.mass", Doc: "mass of it", Example: `"420 g"`, Range: "more than 0", Default: "no table"},
		{Name: "apogee", Doc: "highest point", Example: `"100 m"`, IsFigure: true},
		{Name: "margin", Doc: "static margin", Example: "1.5", IsFigure: true},
	}
	wantText(t, "Keys", terminal.Keys(keys, nil), `[site]
site.wind
    wind
    such as "3 m/s"; 0 to 40 m/s; default "0 m/s"; in m/s, km/h
site.tilt
    lean
    such as "2 deg"; 0 to 45 deg; required

[[part]]
part.mass
    mass of it
    such as "420 g"; more than 0; required where its table is there

figures, for [goals] and [limits]
apogee
    highest point
    such as "100 m"
margin
    static margin
    such as 1.5
`)
	materials := []brief.Material{{Key: "a", Name: "one", Means: "1", Source: "s"}, {Key: "a", Name: "two", Means: "2", Source: "s"}, {Key: "b", Name: "three", Means: "3", Source: "s"}}
	wantText(t, "materials", terminal.Keys(nil, materials), `a, where none was weighed or measured
    "one": 1; s
    "two": 2; s

b, where none was weighed or measured
    "three": 3; s
`)
}
