package outside_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ullage/testdata/python"
)

// readme returns the fenced blocks of the README that have a language.
func readme(t *testing.T) map[string][]string {
	t.Helper()
	text, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := map[string][]string{}
	for _, m := range regexp.MustCompile("(?ms)^```(\\w+)\n(.*?)^```$").FindAllStringSubmatch(string(text), -1) {
		blocks[m[1]] = append(blocks[m[1]], m[2])
	}
	return blocks
}

// clock is what a run prints of its own time.
var clock = regexp.MustCompile(`in \S+ s \(\d+ a second\)`)

// The commands of the README run as they stand, one after the other, and the
// demo prints what the README shows, but for the time it took.
func TestReadme(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("-short: the demo is searched three times; go test ./... does it")
	}
	blocks := readme(t)
	root, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.Symlink(filepath.Join(root, "testdata"), filepath.Join(dir, "testdata")); err != nil {
		t.Fatal(err)
	}
	if len(blocks["sh"]) < 4 || len(blocks["text"]) != 1 || len(blocks["toml"]) != 1 {
		t.Fatalf("README has %d blocks of commands, %d of output and %d briefs, want at least 4, 1 and 1",
			len(blocks["sh"]), len(blocks["text"]), len(blocks["toml"]))
	}
	printed := map[string]string{}
	for line := range strings.Lines(strings.Join(blocks["sh"], "")) {
		command, _, _ := strings.Cut(line, "#")
		command = strings.TrimSpace(command)
		if !strings.HasPrefix(command, "./ullage ") {
			continue // building and testing
		}
		c := exec.Command("sh", "-c", strings.TrimPrefix(command, "./"))
		c.Dir = dir
		var said strings.Builder
		c.Stderr = &said
		out, err := c.Output()
		if err != nil {
			t.Errorf("%s: %v\n%s", command, err, said.String())
		}
		printed[command] = string(out)
	}
	for _, program := range blocks["python"] {
		c := exec.Command(python.Python(t), "-c", program)
		c.Dir = dir
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", program, err, out)
		}
	}
	first, want, _ := strings.Cut(blocks["text"][0], "\n")
	demo, ran := printed[strings.TrimPrefix(first, "$ ")]
	if got := clock.ReplaceAllString(demo, ""); !ran || got != clock.ReplaceAllString(want, "") {
		t.Errorf("README shows\n%s\nbut %s prints\n%s", want, first, demo)
	}
}

// The brief of the README has no fault and leads to a card that is GO.
func TestReadmeBrief(t *testing.T) {
	dir := t.TempDir()
	name, run := filepath.Join(dir, "mine.toml"), filepath.Join(dir, "run")
	if err := os.WriteFile(name, []byte(readme(t)["toml"][0]), 0o644); err != nil {
		t.Fatal(err)
	}
	ullage(t, 0, "check", name)
	ullage(t, 0, "search", name, "-o", run, "--set", "search.flights=4000")
	ullage(t, 0, "card", name, "-o", filepath.Join(dir, "card"), "--no-page")
}
