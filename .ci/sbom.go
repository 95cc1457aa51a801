//go:build ignore

// Command sbom prints what a Go program is made of as a CycloneDX 1.5 bill of
// materials: the modules that were built into it, with their versions and the
// sums that go.sum holds them to.
package main

import (
	"debug/buildinfo"
	"encoding/json"
	"fmt"
	"os"
)

type property struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

type component struct {
	Type       string     `json:"type"`
	Name       string     `json:"name"`
	Version    string     `json:"version"`
	PURL       string     `json:"purl,omitempty"`
	Properties []property `json:"properties,omitempty"`
}

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: go run sbom.go PROGRAM")
		os.Exit(2)
	}
	info, err := buildinfo.ReadFile(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	program := component{Type: "application", Name: info.Main.Path, Version: info.Main.Version}
	for _, s := range info.Settings {
		program.Properties = append(program.Properties, property{"go:build:" + s.Key, s.Value})
	}
	parts := []component{{Type: "library", Name: "std", Version: info.GoVersion, PURL: "pkg:golang/std@" + info.GoVersion[len("go"):]}}
	for _, m := range info.Deps {
		if m.Replace != nil {
			m = m.Replace
		}
		parts = append(parts, component{
			Type: "library", Name: m.Path, Version: m.Version, PURL: "pkg:golang/" + m.Path + "@" + m.Version,
			Properties: []property{{"go:sum", m.Sum}},
		})
	}
	bill := struct {
		Format   string `json:"bomFormat"`
		Spec     string `json:"specVersion"`
		Version  int    `json:"version"`
		Metadata struct {
			Component component `json:"component"`
		} `json:"metadata"`
		Components []component `json:"components"`
	}{Format: "CycloneDX", Spec: "1.5", Version: 1, Components: parts}
	bill.Metadata.Component = program
	encoder := json.NewEncoder(os.Stdout)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(bill); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
