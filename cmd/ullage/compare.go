package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/report"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/terminal"
)

func (s streams) compareCommand() *cli.Command {
	return &cli.Command{
		Name:      "compare",
		Usage:     "set runs beside each other: what changed in the brief, which designs another run beats",
		ArgsUsage: "RUN RUN…",
		Description: "Designs are judged by the goals of the first run, as they were flown as set. With --by it answers of\n" +
			"one RUN which value of a varied quantity is best: the best design found with each.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "by", Usage: "tell the best design with each value of `KEY`, as in recovery.canopy"},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "also write `FILE`: a page, .html, or a table, " + table.Endings},
		},
		Action: s.compare,
	}
}

func (s streams) compare(c *cli.Context) error {
	path := c.String("output")
	isPage := filepath.Ext(path) == ".html" && !c.IsSet("by")
	if c.IsSet("output") && !isPage && !table.HasEnding(path) {
		return usage("--output %s: want a name that ends in .html, %s", path, table.Endings)
	}
	if c.IsSet("by") {
		return s.compareBy(c, path)
	}
	if n := c.NArg(); n < 2 || n > report.MostCompared {
		return usage("compare: %d runs, want 2 to %d", n, report.MostCompared)
	}
	all, err := until(c.Context, "compare", func() (all []output.Compared, err error) {
		for _, dir := range c.Args().Slice() {
			run, err := s.compared(c, dir, "front.parquet")
			if err != nil {
				return nil, err
			}
			all = append(all, run)
		}
		return all, nil
	})
	if err != nil {
		return err
	}
	if len(all[0].Brief.Goals) == 0 {
		return usage("%s: no goal, want a run that has one", c.Args().First())
	}
	both := output.Compare(all)
	first := &all[0]
	switch {
	case isPage:
		err = report.WriteCompared(path, both)
	case path != "":
		err = table.Write(path, both.Table(), table.Meta{Brief: first.Run.Brief, Seed: first.Run.Seed, Version: version()})
	}
	if err != nil {
		return err
	}
	_, err = io.WriteString(s.out, terminal.Compare(both))
	return err
}

// compared reads a run and one of its tables of designs.
func (s streams) compared(c *cli.Context, dir, name string) (output.Compared, error) {
	b, r, _, err := s.runFront(c, dir, nil)
	if err != nil {
		return output.Compared{}, err
	}
	found := output.Compared{Name: dir, Run: r, Brief: b}
	if found.Front, _, err = r.ReadTable(dir, name); err != nil {
		return found, err
	}
	if found.Rows, err = output.Rows(b, found.Front); err != nil {
		return found, fmt.Errorf("read %s: %w", filepath.Join(dir, name), err)
	}
	return found, nil
}

// compareBy tells which value of a quantity is best in a run.
func (s streams) compareBy(c *cli.Context, path string) error {
	dir, err := oneArgument(c, "a run, with --by")
	if err != nil {
		return err
	}
	key := c.String("by")
	q := brief.QuantityByKey(key)
	if q == nil {
		return usage("--by %s: no quantity, want a key of [vary]", key)
	}
	r, err := runs.Read(dir)
	if err != nil {
		return err
	}
	name := "archive.parquet"
	if r.Files[name] == "" {
		name = "front.parquet" // a sweep has no archive
	}
	var run output.Compared
	best, err := until(c.Context, dir, func() (best []answers.Best, err error) {
		if run, err = s.compared(c, dir, name); err != nil {
			return nil, err
		}
		if best, err = answers.BestOfEach(run.Brief, key, run.Rows, run.Run.Front); err != nil {
			err = usage("--by %w", err)
		}
		return best, err
	})
	if err != nil {
		return err
	}
	if path != "" {
		rows := table.Gather(best, func(b answers.Best) study.Row { return b.Row })
		meta := table.Meta{Brief: run.Run.Brief, Seed: run.Run.Seed, Version: version()}
		if err := table.Write(path, output.Front(run.Brief, rows, nil), meta); err != nil {
			return err
		}
	}
	_, err = io.WriteString(s.out, terminal.Best(run.Brief, q, best))
	return err
}
