package main

import (
	"errors"
	"io/fs"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
	"ullage/output/runs"
)

var classFlag = &cli.StringFlag{Name: "class", Usage: "keep the limits of the class in `FILE` too, for a brief that names none"}

// withClass returns the text of a brief with the class in it that it names, a file
// beside it, or that the flag names.
func withClass(name string, src []byte, flag string) ([]byte, error) {
	file, path := brief.ClassFile(src), flag
	switch {
	case file == "" && flag == "":
		return src, nil
	case file != "" && flag != "":
		return nil, usage("--class %s: %s names a class, %s, want one", flag, name, file)
	case file != "" && !filepath.IsLocal(file):
		// A brief of foreign origin must not have other files read.
		return nil, usage("%s: class: %q, want a file beside the brief or below", name, file)
	case file != "":
		path = filepath.Join(filepath.Dir(name), file)
	default:
		file = filepath.Base(flag)
	}
	class, err := readAtMost(path, brief.MostSource)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, usage("%s: class: no file %s, want it beside the brief", name, path)
	}
	if err != nil {
		return nil, err
	}
	whole, err := brief.WithClass(name, src, file, class)
	if err != nil {
		return nil, coded{err, exitUsage}
	}
	return whole, nil
}

// parseInClass is parse of a command that may name a class.
func (s streams) parseInClass(c *cli.Context, name string, set []string) (*brief.Brief, error) {
	return s.parseText(c.Context, name, c.String(classFlag.Name), set)
}

// classOf refuses a flag that a run has no use for.
func classOf(c *cli.Context, dir string) error {
	if c.String(classFlag.Name) != "" {
		return usage("--class: %s is a run, and has the class of its brief, want a brief", dir)
	}
	return nil
}

// classRecord says what run.json keeps of the class of a brief.
func classRecord(b *brief.Brief) *runs.Class {
	if b.Class.File == "" {
		return nil
	}
	return &runs.Class{Title: b.Class.Title, File: b.Class.File, Hash: b.Class.Hash}
}
