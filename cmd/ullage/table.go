package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/output/file"
	"ullage/output/runs"
	"ullage/output/table"
)

func (s streams) tableCommand() *cli.Command {
	return &cli.Command{
		Name:      "table",
		Usage:     "write a table of a run as CSV, for a spreadsheet",
		ArgsUsage: "RUN NAME.csv",
		Description: "NAME is that of a table of the run: front, archive, paths, history and others; of a sweep also\n" +
			"those of its parts, as part-000001. The names of the columns carry the units.",
		Action: s.table,
	}
}

func (s streams) table(c *cli.Context) error {
	if c.NArg() != 2 {
		return usage("table: %d arguments, want a run and NAME.csv", c.NArg())
	}
	dir, path := c.Args().Get(0), c.Args().Get(1)
	base, csv := strings.CutSuffix(filepath.Base(path), ".csv")
	if !csv {
		return usage("table %s: want a name that ends in .csv", path)
	}
	r, err := runs.Read(dir)
	if err != nil {
		return err
	}
	var known []string
	for name := range r.Files {
		of, isTable := strings.CutSuffix(filepath.ToSlash(name), ".parquet")
		if of = of[strings.LastIndex(of, "/")+1:]; !isTable {
			continue
		} else if of != base {
			known = append(known, of)
			continue
		}
		rows, columns := 0, 0
		if err := file.Stream(path, func(w io.Writer) error {
			add := table.CSV(w)
			return r.ScanTable(dir, name, nil, func(part table.Table) error {
				if c.Context.Err() != nil {
					return coded{errors.New("interrupted, nothing is written"), exitInterrupted}
				}
				rows, columns = rows+part.Rows(), len(part.Columns)
				return add(part)
			})
		}); err != nil {
			return err
		}
		_, err = fmt.Fprintf(s.out, "%s: %d rows of %d columns\n", path, rows, columns)
		return err
	}
	slices.Sort(known)
	return usage("table %s: %s has no table %s, want one of %s", path, dir, base, strings.Join(known[:min(len(known), 10)], ", "))
}
