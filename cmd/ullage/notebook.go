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
		Usage:     "write a notebook into a run's folder that shows its front, flights and search",
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
	if r.Files["front.parquet"] == "" {
		return fmt.Errorf("%s: a run without a front, want that of a search or of a sweep that kept one", dir)
	}
	path := filepath.Join(dir, notebook.Name)
	// One that was changed or run is the user's own.
	if there, err := file.Read(path, mostNotebook); !errors.Is(err, fs.ErrNotExist) && !bytes.Equal(there, notebook.Front) {
		return fmt.Errorf("%s: run, changed or of another version, want it renamed or removed", path)
	}
	if err := file.Write(path, notebook.Front); err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, path)
	return err
}
