package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize/answers"
	"ullage/optimize/study"
	"ullage/output"
	"ullage/output/runs"
	"ullage/output/table"
	"ullage/output/terminal"
)

func (s streams) flyCommand() *cli.Command {
	return &cli.Command{
		Name:      "fly",
		Usage:     "fly a brief once: figures, distance to each limit, warnings",
		ArgsUsage: "BRIEF|RUN",
		Flags: []cli.Flag{
			designFlag, setFlag, classFlag, formatFlag,
			&cli.StringFlag{Name: "path", Usage: "write the trajectory to `FILE`, " + table.Endings},
		},
		Action: s.fly,
	}
}

func (s streams) fly(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	path := c.String("path")
	if c.IsSet("path") && !table.HasEnding(path) {
		return usage("--path %s: want a name that ends in %s", path, table.Endings)
	}
	b, err := s.readSubject(c)
	if err != nil {
		return err
	}
	scratch := model.NewScratch()
	flight, samples := model.Path(&b.Rocket, &b.Site, scratch)
	row := study.RowOf(b, 1, b.Own(), &flight, scratch)
	if path != "" && flight.Outcome == model.Landed {
		meta := table.Meta{Brief: runs.Hash(b.Source), Seed: b.Search.Seed, Version: version()}
		if err := table.Write(path, output.Paths([][]model.Sample{samples}), meta); err != nil {
			return err
		}
	}
	var doubts []answers.Doubt
	if flight.Outcome == model.Landed {
		doubts = answers.NewDoubter(b).Doubts(&b.Rocket, &b.Site, &flight)
	}
	out := []byte(terminal.Fly(b, &row, doubts))
	if asJSON {
		if out, err = terminal.FlyJSON(b, &row, doubts); err != nil {
			return err
		}
	}
	if _, err := s.out.Write(out); err != nil {
		return err
	}
	s.caution(b)
	if flight.Outcome != model.Landed {
		return coded{fmt.Errorf("%s: no flight, %s", b.Name, flight.Outcome), exitInfeasible}
	}
	return nil
}
