package brief_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ullage/optimize/brief"
)

var update = flag.Bool("update", false, "write what Parse says into the .want files; read the difference")

// TestFaults parses every malformed brief and compares the whole text of its
// faults with the .want file beside it.
func TestFaults(t *testing.T) {
	files, err := filepath.Glob("../../testdata/briefs/bad/*.toml")
	if err != nil || len(files) < 40 {
		t.Fatalf("%d malformed briefs, want at least 40 (%v)", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(strings.TrimSuffix(name, ".toml"), func(t *testing.T) {
			b, err := brief.Parse(name, read(t, file))
			if err == nil || b != nil {
				t.Fatalf("Parse(%s) accepts it, want faults", name)
			}
			got, wanted := err.Error()+"\n", strings.TrimSuffix(file, ".toml")+".want"
			if *update {
				if err := os.WriteFile(wanted, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			if want := string(read(t, wanted)); got != want {
				t.Errorf("Parse(%s) =\n%swant\n%s", name, got, want)
			}
		})
	}
}

func read(t testing.TB, file string) []byte {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
