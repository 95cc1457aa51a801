package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ullage/output/file"
	"ullage/output/notebook"
	"ullage/output/runs"
)

// mostNotebook is more than a notebook without outputs takes, in bytes: a larger
// one was run.
const mostNotebook = 1 << 20

func (s streams) notebookCommand() *cli.Command {
	return &cli.Command{
		Name:      "notebook",
		Usage:     "write a notebook into a run's folder that shows its front, flights and search, or what a sweep found",
		ArgsUsage: "RUN",
		Action:    s.notebook,
	}
}

func (s streams) notebook(c *cli.Context) error {
	dir, err := oneArgument(c, "the folder of a run")
	if err != nil {
		return err
	}
	r, err := runs.Read(dir)
	if err != nil {
		return err
	}
	name, book := notebook.FrontName, notebook.Front
	switch {
	case r.Files["front.parquet"] != "":
	case r.Files[runs.PartName(1)] != "":
		name, book = notebook.SweepName, notebook.Sweep
	default:
		return fmt.Errorf("%s: a run without a front and without flights, want one that has either", dir)
	}
	path := filepath.Join(dir, name)
	// One that was changed or run is the user's own.
	if there, err := file.Read(path, mostNotebook); !errors.Is(err, fs.ErrNotExist) && !bytes.Equal(there, book) {
		return fmt.Errorf("%s: run, changed or of another version, want it renamed or removed", path)
	}
	if err := file.Write(path, book); err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, path)
	return err
}
