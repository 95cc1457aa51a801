package brief_test

import (
	"fmt"
	"strings"
	"testing"

	"ullage/optimize/brief"
	"ullage/testdata/kept"
)

// What the reference tells of every key, figure and material, the schema and a
// starter are what was kept: bounds, defaults, examples and meanings.
func TestKeptReference(t *testing.T) {
	var out strings.Builder
	for _, k := range brief.KeysOf("") {
		fmt.Fprintf(&out, "%s: %s\n\t%s; of %s; default %s; in %v; a figure: %v\n", k.Name, k.Doc, k.Example, k.Range, k.Default, k.Units, k.IsFigure)
	}
	for _, m := range brief.Materials() {
		fmt.Fprintf(&out, "%s = %s\n\t%s; %s\n", m.Key, m.Name, m.Means, m.Source)
	}
	kept.Same(t, "keys.txt", out.String())
	kept.Same(t, "schema.txt", strings.ReplaceAll(string(brief.Schema()), "  ", "")) // unindented, to be small
	for _, name := range []string{"bottle", "lighter-or-stable"} {
		kept.Same(t, name+"-commented.toml", string(brief.Commented(read(t, demos+name+".toml"))))
	}
}
