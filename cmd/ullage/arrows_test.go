package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed says which of our trees each may import besides itself: model and optimize stand on their own, so that either can be used
// without the other.
var allowed = map[string][]string{
	"ullage/model":            {},
	"ullage/constraints":      {},
	"ullage/optimize":         {},
	"ullage/optimize/brief":   {"ullage/model", "ullage/constraints"},
	"ullage/optimize/scatter": {"ullage/model", "ullage/constraints", "ullage/optimize/brief"},
	"ullage/optimize/study":   {"ullage/model", "ullage/constraints", "ullage/optimize", "ullage/optimize/brief", "ullage/optimize/scatter"},
	"ullage/optimize/answers": {"ullage/model", "ullage/constraints", "ullage/optimize/brief", "ullage/optimize/scatter", "ullage/optimize/study"},
	"ullage/optimize/pad":     {"ullage/model", "ullage/constraints", "ullage/optimize/brief", "ullage/optimize/scatter", "ullage/optimize/study", "ullage/optimize/answers"},
	"ullage/optimize/sweep":   {"ullage/optimize"},
	"ullage/optimize/fit":     {"ullage/model", "ullage/optimize/brief", "ullage/optimize/scatter"},
	"ullage/optimize/fleet":   {"ullage/model", "ullage/optimize", "ullage/optimize/brief", "ullage/optimize/study", "ullage/optimize/sweep"},
	"ullage/output/file":      {},
	"ullage/output/palette":   {},
	"ullage/output/table":     {"ullage/output/file"},
	"ullage/output/runs":      {"ullage/output/file", "ullage/output/table"},
	"ullage/output":           shown("table", "runs"),
	"ullage/output/text":      {"ullage/optimize/brief", "ullage/output/table"},
	"ullage/output/wording":   shown("", "table", "runs", "text"),
	"ullage/output/terminal":  shown("", "table", "runs", "text", "wording"),
	"ullage/output/report":    append(shown("", "file", "palette", "table", "runs", "text", "wording"), "ullage/optimize/sweep"),
	"ullage/output/card":      append(shown("", "palette", "table", "runs", "text", "wording"), "ullage/optimize/pad"),
	"ullage/benchmarks":       {"ullage/model", "ullage/constraints", "ullage/optimize", "ullage/output"},
	"ullage/testdata":         {},
	"ullage/testdata/briefs":  {"ullage/optimize/brief", "ullage/testdata"},
}

// shown returns what a room of output may import: the results that it shows, and
// some rooms of output, "" being its root.
func shown(rooms ...string) []string {
	may := []string{
		"ullage/model", "ullage/constraints", "ullage/optimize", "ullage/optimize/brief", "ullage/optimize/study", "ullage/optimize/answers",
	}
	for _, room := range rooms {
		may = append(may, strings.TrimSuffix("ullage/output/"+room, "/"))
	}
	return may
}

// owners names the only package that may import a library.
var owners = map[string]string{
	"github.com/apache/arrow":         "ullage/output/table",
	"github.com/MaxHalford/eaopt":     "ullage/optimize",
	"github.com/pelletier/go-toml":    "ullage/optimize/brief",
	"github.com/urfave/cli":           "ullage/cmd/ullage",
	"github.com/nats-io":              "ullage/optimize/fleet",
	"github.com/vbauerster/mpb":       "ullage/cmd/ullage",
	"github.com/rogpeppe/go-internal": "ullage/cmd/ullage",
}

// home returns the longest entry of allowed that holds the package.
func home(pkg string) string {
	best := ""
	for tree := range allowed {
		if within(pkg, tree) && len(tree) > len(best) {
			best = tree
		}
	}
	return best
}

func within(pkg, tree string) bool { return pkg == tree || strings.HasPrefix(pkg, tree+"/") }

func TestImportArrows(t *testing.T) {
	list, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "ullage/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	seen := 0
	for line := range strings.Lines(string(list)) {
		fields := strings.Fields(line)
		pkg := fields[0]
		from := home(pkg)
		if from == "" && !within(pkg, "ullage/cmd") {
			t.Errorf("%s: a package outside the layout", pkg)
		}
		for _, target := range fields[1:] {
			for library, owner := range owners {
				if within(target, library) && !within(pkg, owner) {
					t.Errorf("%s imports %s: only %s may", pkg, target, owner)
				}
			}
			if !within(target, "ullage") || within(pkg, "ullage/cmd") {
				continue
			}
			seen++
			if !permitted(from, target) {
				t.Errorf("%s imports %s: want only %v", pkg, target, allowed[from])
			}
		}
	}
	if seen == 0 {
		t.Error("no import of ours seen: the test looks at nothing")
	}
}

// permitted: a tree may import itself and what allowed names, but none of the
// trees that allowed lists inside another.
func permitted(from, target string) bool {
	to := home(target)
	return to == from || slices.Contains(allowed[from], to)
}

func TestArrowsPointOneWay(t *testing.T) {
	for _, c := range []struct {
		why, from, target string
		want              bool
	}{
		{"inside a tree", "ullage/model", "ullage/model/air", true},
		{"from inside a tree to its root", "ullage/model/air", "ullage/model", true},
		{"named", "ullage/optimize/study", "ullage/optimize", true},
		{"a brief flies nothing", "ullage/optimize/brief", "ullage/optimize/study", false},
		{"inside a named tree", "ullage/output", "ullage/model/air", true},
		{"the search knows no physics", "ullage/optimize", "ullage/model", false},
		{"the search knows no brief, though it lies inside", "ullage/optimize", "ullage/optimize/brief", false},
		{"what is shown knows no search at work", "ullage/output", "ullage/optimize/fleet", false},
		{"results are known where they are shown", "ullage/output/wording", "ullage/optimize/answers", true},
		{"a number is written without knowing of what flight", "ullage/output/text", "ullage/optimize/study", false},
		{"a page is no terminal", "ullage/output/report", "ullage/output/terminal", false},
		{"a card is made of rows", "ullage/output/card", "ullage/optimize/study", true},
		{"only a card knows of the pad", "ullage/output/report", "ullage/optimize/pad", false},
		{"a table knows no flights", "ullage/output/table", "ullage/model", false},
		{"a run's folder keeps what it is given", "ullage/output/runs", "ullage/output", false},
		{"a card is no part of a report", "ullage/output/report", "ullage/output/card", false},
		{"what is shown is laid out before", "ullage/output/card", "ullage/output", true},
		{"physics knows nothing of ours", "ullage/model", "ullage/constraints", false},
		{"nothing imports the command", "ullage/output", "ullage/cmd/ullage", false},
	} {
		if got := permitted(home(c.from), c.target); got != c.want {
			t.Errorf("%s: permitted(%q, %q) = %v, want %v", c.why, c.from, c.target, got, c.want)
		}
	}
}
