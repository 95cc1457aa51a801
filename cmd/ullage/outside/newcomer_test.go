package outside_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"ullage/testdata/browser"
)

// newcomer is what someone with a bottle, a ruler and a scale types.
const newcomer = `set -e
git clone -q "$1" ullage
cd ullage
go build -o ullage ./cmd/ullage
./ullage search testdata/briefs/field-day.toml --set search.flights=2000
./ullage new --ask meadow.toml <<'answers'
Meadow
110 mm; 690 mm; 130 mm
2 l
300 g
380 mm
21,7 mm
10 bar

3; 110 mm; 60 mm; 110 mm; 3 mm
cardboard
55 cm; 3.4 s

answers
./ullage check meadow.toml
./ullage search meadow.toml
./ullage card runs/meadow
`

// From nothing to a card for the pad: a clone, two commands, a dozen answers, a
// check, a search, a card.
func TestNewcomer(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("-short: it clones and builds; go test ./... does it")
	}
	root, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(root, ".git")); err != nil {
		t.Skip("no repository: these are sources without one")
	}
	browser.Program(t, "git", "git")
	dir := t.TempDir()
	c := exec.CommandContext(t.Context(), "sh", "-c", newcomer, "sh", root)
	c.Dir = dir
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, want := range []string{"meadow.toml is written; next: ullage check meadow.toml", "meadow.toml: no faults", "run in runs/meadow"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("nothing says %q:\n%s", want, out)
		}
	}
	card := filepath.Join(dir, "ullage", "runs", "meadow", "card-1")
	pad, err := os.ReadFile(filepath.Join(card, "pad-card.txt"))
	if err != nil || !strings.Contains(string(pad), "\nGO\n") {
		t.Errorf("%v, or the card is no GO:\n%s", err, pad)
	}
	for _, name := range []string{"pad-card.html", "build-sheet.html", "pad.html"} {
		if _, err := os.Stat(filepath.Join(card, name)); err != nil {
			t.Error(err)
		}
	}
}
