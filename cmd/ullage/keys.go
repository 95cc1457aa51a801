package main

import (
	"encoding/json"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/output/terminal"
)

func (s streams) keysCommand() *cli.Command {
	return &cli.Command{
		Name:        "keys",
		Usage:       "explain the keys of a brief: meaning, unit, default, range, and where lengths are measured",
		ArgsUsage:   "[WORD]",
		Description: "Of a WORD it explains the keys and figures that have it in their names or their meaning.",
		Flags:       []cli.Flag{formatFlag},
		Action:      s.keys,
	}
}

func (s streams) keys(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	if c.NArg() > 1 {
		return usage("keys: %d arguments, want at most one, a word", c.NArg())
	}
	word := c.Args().First()
	keys := brief.KeysOf(word)
	if len(keys) == 0 {
		return usage("keys %s: no key has that word, want another, or none for all keys", word)
	}
	materials := slices.DeleteFunc(brief.Materials(), func(m brief.Material) bool {
		return !slices.ContainsFunc(keys, func(k brief.Key) bool { return k.Name == m.Key })
	})
	if asJSON {
		encoder := json.NewEncoder(s.out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(struct {
			Keys      []brief.Key      `json:"keys"`
			Materials []brief.Material `json:"materials,omitempty"`
		}{keys, materials})
	}
	out := terminal.Keys(keys, materials)
	if word == "" || slices.ContainsFunc(keys, inSketch) {
		out = strings.TrimPrefix(terminal.Sketch, "\n") + "\n" + out
	}
	_, err = io.WriteString(s.out, out)
	return err
}

// inSketch reports whether the sketch shows what a key measures.
func inSketch(k brief.Key) bool {
	name := k.Name[strings.LastIndexByte(k.Name, '.')+1:]
	return !k.IsFigure && slices.Contains([]string{"station", "length", "root", "tip", "span", "rake", "bore", "cylinder", "end", "neck", "throat"}, name)
}
