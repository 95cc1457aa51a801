// Package kept holds what a package computes, writes or draws against what it did
// when that was last read and found good, to the last digit. Such a record promises
// nothing by itself: it says that a change of code changed something, so that whoever
// made it looks at what, and says so in the commit.
package kept

import (
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"
)

// Again is the variable of the environment under which Same writes the record.
const Again = "ULLAGE_KEEP"

// Same compares a text with the file testdata/kept/name of the package under test and
// reports the first lines that differ. Where Again is 1 it writes the file instead.
func Same(t testing.TB, name, text string) {
	t.Helper()
	file := filepath.Join("testdata", "kept", name)
	if os.Getenv(Again) == "1" {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if was := strings.ReplaceAll(string(data), "\r\n", "\n"); was != text {
		t.Errorf("%s is no longer what was kept:\n%s\nIf the change is meant, look at all of it, say in the commit what moved and why, and write it anew: %s=1 go test -run '^%s$' in this folder.",
			file, Differences(was, text), Again, strings.Split(t.Name(), "/")[0])
	}
}

// Differences returns the first lines, at most five, in which a text is not what it was,
// each cut to 200 bytes around where it first differs.
func Differences(was, is string) string {
	before, now := strings.Split(was, "\n"), strings.Split(is, "\n")
	var out strings.Builder
	shown := 0
	for k := range max(len(before), len(now)) {
		then, here := at(before, k), at(now, k)
		if then == here {
			continue
		}
		if shown++; shown > 5 {
			out.WriteString("and more\n")
			break
		}
		from := 0
		for from < min(len(then), len(here)) && then[from] == here[from] {
			from++
		}
		from = max(0, from-60)
		out.WriteString("- " + cut(then, from) + "\n+ " + cut(here, from) + "\n")
	}
	return out.String()
}

func at(lines []string, k int) string {
	if k < len(lines) {
		return lines[k]
	}
	return "(no such line)"
}

func cut(line string, from int) string {
	from = min(from, len(line))
	return line[from:min(len(line), from+200)]
}

// LastDigits says whether numbers come out here to the last digit as they were kept:
// on amd64 as it is compiled by default. Elsewhere the compiler fuses multiplications
// with additions; there a test of a record of numbers says that it has nothing to hold
// them against.
func LastDigits(t testing.TB) bool {
	t.Helper()
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "GOAMD64" && s.Value != "v1" {
				t.Logf("records are of GOAMD64=v1, this is a build for %s", s.Value)
				return false
			}
		}
	}
	if runtime.GOARCH != "amd64" {
		t.Logf("records are of amd64, this is %s", runtime.GOARCH)
		return false
	}
	return true
}
