// Package testdata holds the demo briefs: texts that the program hands out as
// starters, and that tests of other packages read. It reads nothing but what was
// built into the program.
package testdata

import (
	"embed"
	"strings"
)

//go:embed briefs/*.toml briefs/classes/*.toml
var files embed.FS

// Brief returns a demo brief as it is written, and whether there is one of that
// name, such as "bottle".
func Brief(name string) ([]byte, bool) {
	src, err := files.ReadFile("briefs/" + name + ".toml")
	return src, err == nil
}

// Class returns the class that a demo brief names, by the name that it has there.
func Class(file string) ([]byte, bool) {
	src, err := files.ReadFile("briefs/" + file)
	return src, err == nil
}

// Briefs returns the names of the demo briefs, in alphabetical order.
func Briefs() []string {
	entries, err := files.ReadDir("briefs")
	if err != nil {
		panic(err) // it is built in
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".toml"); ok {
			names = append(names, name)
		}
	}
	return names
}
