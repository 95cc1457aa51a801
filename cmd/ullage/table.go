package main

import (
	"fmt"
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
		var found table.Table
		data, err := until(c.Context, path, func() (data []byte, err error) {
			var meta table.Meta
			if found, meta, err = r.ReadTable(dir, name); err != nil {
				return nil, err
			}
			if data, err = table.Encode(path, found, meta); err != nil {
				err = fmt.Errorf("write %s: %w", path, err)
			}
			return data, err
		})
		if err != nil {
			return err
		}
		if err := file.Write(path, data); err != nil {
			return err
		}
		_, err = fmt.Fprintf(s.out, "%s: %d rows of %d columns\n", path, found.Rows(), len(found.Columns))
		return err
	}
	slices.Sort(known)
	return usage("table %s: %s has no table %s, want one of %s", path, dir, base, strings.Join(known[:min(len(known), 10)], ", "))
}
