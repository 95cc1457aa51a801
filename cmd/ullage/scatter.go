package main

import (
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"

	"ullage/optimize/answers"
	"ullage/optimize/study"

	"github.com/urfave/cli/v2"

	"ullage/constraints"
	"ullage/model"
	"ullage/optimize/brief"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/text"
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
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "also write the numbers to `FILE`, .parquet or .arrow, a row a design"},
			&cli.IntFlag{Name: "design", Usage: "fly design `N` of the run's front", Value: 1},
			&cli.BoolFlag{Name: "front", Usage: "fly the run's whole front", DisableDefaultText: true},
			&cli.IntFlag{Name: "draws", Usage: "fly each design `N` times", DefaultText: "those of search.robust, else 200"},
			&cli.Uint64Flag{Name: "seed", Usage: "start the random numbers from `N`, a whole number", DefaultText: "the brief's"},
			setFlag, formatFlag,
		},
		Action: s.scatter,
	}
}

// A subject is a design to be flown under scatter.
type subject struct {
	number int // in its run, from 1; 0: the brief's own
	x      []float64
}

func (s streams) scatter(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	path := c.String("output")
	if ext := filepath.Ext(path); c.IsSet("output") && ext != ".parquet" && ext != ".arrow" {
		return usage("--output %s: want a name that ends in .parquet or .arrow", path)
	}
	if n := c.Int("draws"); c.IsSet("draws") && (n < leastDraws || n > mostDraws) {
		return usage("--draws %d: want %d to %d", n, leastDraws, mostDraws)
	}
	b, subjects, err := s.subjects(c)
	if err != nil {
		return err
	}
	if len(b.Scatter)+len(b.Day) == 0 {
		return usage("%s:1:1: scatter: nothing scatters, want a deviation in [scatter]", b.Name)
	}
	report := output.Scatter{
		Layout: layoutOf(b), Flights: defaultDraws, Seed: b.Search.Seed, Confidence: constraints.Level,
	}
	if n := b.Search.Robust.Draws; n > 0 {
		report.Flights = n
	}
	if c.IsSet("draws") {
		report.Flights = c.Int("draws")
	}
	if c.IsSet("seed") {
		report.Seed = c.Uint64("seed")
	}
	report.Designs = scattered(b, subjects, report.Flights, report.Seed)
	if path != "" {
		meta := table.Meta{Brief: runs.Hash(b.Source), Seed: report.Seed, Version: version()}
		if err := table.Write(path, report.Table(), meta); err != nil {
			return err
		}
	}
	out := []byte(text.Scatter(&report))
	if asJSON {
		if out, err = text.ScatterJSON(&report); err != nil {
			return err
		}
	}
	if _, err := s.out.Write(out); err != nil {
		return err
	}
	s.caution(b)
	return nil
}

// subjects returns the brief that the arguments name and the designs of it
// that they ask for.
func (s streams) subjects(c *cli.Context) (*brief.Brief, []subject, error) {
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
		return b, []subject{{x: b.Own()}}, nil
	}
	if len(c.StringSlice(setFlag.Name)) > 0 {
		return nil, nil, usage("--set: %s is a run, want a brief", name)
	}
	return s.runSubjects(c, name)
}

func (s streams) runSubjects(c *cli.Context, dir string) (*brief.Brief, []subject, error) {
	b, r, designs, err := s.runFront(c, dir, nil)
	if err != nil {
		return nil, nil, err
	}
	b = b.WithSeed(r.Seed)
	var all []subject
	for i, x := range designs {
		all = append(all, subject{i + 1, x})
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

// scattered flies each design under the same draws, several designs at a time.
func scattered(b *brief.Brief, subjects []subject, draws int, seed uint64) []output.Scattered {
	all := make([]output.Scattered, len(subjects))
	var taken atomic.Int64
	var busy sync.WaitGroup
	for range min(runtime.NumCPU(), len(subjects)) {
		busy.Go(func() {
			fly, scratch := study.Scatterer(b, draws, seed), model.NewScratch()
			for i := int(taken.Add(1)) - 1; i < len(all); i = int(taken.Add(1)) - 1 {
				all[i] = scatteredOf(b, subjects[i], fly(subjects[i].x), scratch)
			}
		})
	}
	busy.Wait()
	return all
}

func scatteredOf(b *brief.Brief, of subject, s study.Scattered, scratch *model.Scratch) output.Scattered {
	d := output.Scattered{Design: of.number, X: of.x, Nominal: output.FlightRow(&s.Nominal).Figures}
	for _, spread := range s.Spreads {
		d.Spreads = append(d.Spreads, output.Spread(spread))
	}
	if len(b.Day) > 0 {
		d.Within = s.Within[:]
	}
	for _, c := range s.Chances {
		d.Chances = append(d.Chances, output.Chance{Share: c.Share(), AtLeast: c.AtLeast()})
	}
	d.All = output.Chance{Share: s.All.Share(), AtLeast: s.All.AtLeast()}
	for _, w := range answers.WhatIfs(b, of.x, scratch) {
		d.WhatIfs = append(d.WhatIfs, output.WhatIf{
			Key: w.Key, Doc: w.Doc, Outcome: w.Flight.Outcome, Missed: w.Missed,
			Apogee:       table.Of(w.Flight.Figure(model.Apogee)),
			LandingSpeed: table.Of(w.Flight.Figure(model.LandingSpeed)),
			Drift:        table.Of(w.Flight.Figure(model.Drift)),
		})
	}
	return d
}
