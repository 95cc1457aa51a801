package main

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestLicencesAreListed holds that testdata/LICENCES.md says the licence of every
// module of go.mod, and of no other.
func TestLicencesAreListed(t *testing.T) {
	mod, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../testdata/LICENCES.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(text), "| SPDX | modules |")
	found := func(pattern, in string) (names []string) {
		for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(in, -1) {
			names = append(names, m[1])
		}
		slices.Sort(names)
		return names
	}
	want, got := found(`(?m)^\t(\S+) v\d`, string(mod)), found("`([^`]+)`", table)
	if len(want) < 13 || !slices.Equal(got, want) {
		t.Errorf("licences are listed of %v, want those of go.mod, %v", got, want)
	}
}
