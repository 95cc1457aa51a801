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

func (s streams) effectsCommand() *cli.Command {
	return &cli.Command{
		Name:      "effects",
		Usage:     "what one step of each quantity, and one deviation of what is not known, does to a design",
		ArgsUsage: "BRIEF|RUN",
		Description: "Changes one thing at a time, flies it and prints how far apogee, margin, landing speed, drift and acceleration\n" +
			"move: of a BRIEF the design that it describes, of the folder of a RUN one of its front.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "also write the numbers to `FILE`, " + table.Endings + ", a row a change"},
			&cli.IntFlag{Name: "design", Usage: "take design `N` of the run's front", Value: 1},
			setFlag, classFlag, formatFlag,
		},
		Action: s.effects,
	}
}

func (s streams) effects(c *cli.Context) error {
	asJSON, err := wantsJSON(c)
	if err != nil {
		return err
	}
	path, err := tablePath(c)
	if err != nil {
		return err
	}
	b, of, err := s.cardSubject(c)
	if err != nil {
		return err
	}
	rocket, site := b.At(of.x)
	e := output.Effects{Brief: b, Design: of.number, X: of.x, Flight: model.Fly(&rocket, &site, model.NewScratch())}
	if e.Flight.Outcome != model.Landed {
		return coded{fmt.Errorf("%s: no flight to compare with, %s", of.name, e.Flight.Outcome), exitInfeasible}
	}
	e.Missed = study.NewJudge(b).Missed(&rocket, &site, &e.Flight)
	if e.Changes, err = until(c.Context, of.name, func() ([]answers.Effect, error) { return answers.Effects(b, of.x), nil }); err != nil {
		return err
	}
	if path != "" {
		meta := table.Meta{Brief: runs.Hash(b.Source), Seed: b.Search.Seed, Version: version()}
		if err := table.Write(path, e.Table(), meta); err != nil {
			return err
		}
	}
	out := []byte(terminal.Effects(&e))
	if asJSON {
		if out, err = terminal.EffectsJSON(&e); err != nil {
			return err
		}
	}
	if _, err := s.out.Write(out); err != nil {
		return err
	}
	s.caution(at(b, of.x))
	return nil
}
