package main

import (
	"os"
	"runtime"

	"github.com/urfave/cli/v2"

	"ullage/optimize/answers"
	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/terminal"
)

const (
	defaultDraws = 200
	leastDraws   = 2
	mostDraws    = 1_000_000
)

func (s streams) scatterCommand() *cli.Command {
	return &cli.Command{
		Name:      "scatter",
		Usage:     "fly a design many times under the brief's scatter: quantiles, chances of keeping the limits, what-ifs",
		ArgsUsage: "BRIEF|RUN",
		Description: "Of a BRIEF it flies the design that the brief describes, of the folder of a RUN one of its front,\n" +
			"or with --front all of them, under the same draws.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "also write the numbers to `FILE`, " + table.Endings + ", a row a design"},
			&cli.IntFlag{Name: "design", Usage: "fly design `N` of the run's front", Value: 1},
			&cli.BoolFlag{Name: "front", Usage: "fly the run's whole front", DisableDefaultText: true},
			&cli.IntFlag{Name: "draws", Usage: "fly each design `N` times", DefaultText: "those of search.robust, else 200"},
			&cli.Uint64Flag{Name: "seed", Usage: "start the random numbers from `N`, a whole number", DefaultText: "the brief's"},
			setFlag, classFlag, formatFlag,
		},
		Action: s.scatter,
	}
}

func (s streams) scatter(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	path, err := tablePath(c)
	if err != nil {
		return err
	}
	if n := c.Int("draws"); c.IsSet("draws") && (n < leastDraws || n > mostDraws) {
		return usage("--draws %d: want %d to %d", n, leastDraws, mostDraws)
	}
	b, designs, err := s.subjects(c)
	if err != nil {
		return err
	}
	if len(b.Scatter)+len(b.Day) == 0 {
		return usage("%s:1:1: scatter: nothing scatters, want a deviation in [scatter]", b.Name)
	}
	report := output.Scatter{Brief: b, Flights: defaultDraws, Seed: b.Search.Seed, Designs: designs}
	if n := b.Search.Robust.Draws; n > 0 {
		report.Flights = n
	}
	if c.IsSet("draws") {
		report.Flights = c.Int("draws")
	}
	if c.IsSet("seed") {
		report.Seed = c.Uint64("seed")
	}
	if _, err := until(c.Context, b.Name, func() (bool, error) {
		return answers.Scatter(c.Context, b, designs, report.Flights, report.Seed, runtime.NumCPU()), nil
	}); err != nil {
		return err
	}
	if path != "" {
		meta := table.Meta{Brief: runs.Hash(b.Source), Seed: report.Seed, Version: version()}
		if err := table.Write(path, report.Table(), meta); err != nil {
			return err
		}
	}
	out := []byte(terminal.Scatter(&report))
	if asJSON {
		if out, err = terminal.ScatterJSON(&report); err != nil {
			return err
		}
	}
	if _, err := s.out.Write(out); err != nil {
		return err
	}
	s.caution(b)
	return nil
}

// tablePath returns where --output asks for a table, "" where it does not.
func tablePath(c *cli.Context) (string, error) {
	path := c.String("output")
	if c.IsSet("output") && !table.HasEnding(path) {
		return "", usage("--output %s: want a name that ends in %s", path, table.Endings)
	}
	return path, nil
}

// subjects returns the brief that the arguments name and the designs of it
// that they ask for.
func (s streams) subjects(c *cli.Context) (*brief.Brief, []answers.Scattered, error) {
	name, err := oneArgument(c, "a brief or a run")
	if err != nil {
		return nil, nil, err
	}
	if info, err := os.Stat(name); err != nil || !info.IsDir() {
		for _, flag := range []string{"design", "front"} {
			if c.IsSet(flag) {
				return nil, nil, usage("--%s: %s is no run, want the folder of one", flag, name)
			}
		}
		b, err := s.readBrief(c)
		if err != nil {
			return nil, nil, err
		}
		return b, []answers.Scattered{{X: b.Own()}}, nil
	}
	if len(c.StringSlice(setFlag.Name)) > 0 {
		return nil, nil, usage("--set: %s is a run, want a brief", name)
	}
	return s.runSubjects(c, name)
}

func (s streams) runSubjects(c *cli.Context, dir string) (*brief.Brief, []answers.Scattered, error) {
	b, r, designs, err := s.runFront(c, dir, nil)
	if err != nil {
		return nil, nil, err
	}
	b = b.WithSeed(r.Seed)
	var all []answers.Scattered
	for i, x := range designs {
		all = append(all, answers.Scattered{Design: i + 1, X: x})
	}
	switch {
	case c.Bool("front") && c.IsSet("design"):
		return nil, nil, usage("--design: given with --front, want one of them")
	case c.Bool("front"):
		return b, all, nil
	}
	n, err := designNumber(c, dir, designs)
	if err != nil {
		return nil, nil, err
	}
	return b, all[n-1 : n], nil
}
