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
