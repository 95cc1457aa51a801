package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"

	"github.com/urfave/cli/v2"

	"ullage/optimize/fleet"
	"ullage/output/file"
	"ullage/output/text"
)

func (s streams) workerCommand() *cli.Command {
	return &cli.Command{
		Name:      "worker",
		Usage:     "fly for a search or a sweep that runs elsewhere, until it is interrupted",
		ArgsUsage: "SERVER",
		Description: "SERVER is nats://host:4222 or tls://host:4222, as \"ullage search --serve\" prints it. A worker\n" +
			"takes designs and gives back numbers; it writes no file.",
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "workers", Usage: "fly `N` jobs at a time", Value: runtime.NumCPU()},
			tokenFlag, caFlag, queueFlag,
			&cli.StringFlag{Name: "replay", Usage: "fly the job in `FILE`, which no worker could fly, and say what happens"},
		},
		Action: s.worker,
	}
}

func (s streams) worker(c *cli.Context) error {
	if path := c.String("replay"); path != "" {
		if c.NArg() > 0 {
			return usage("worker: a server beside --replay, want one of them")
		}
		if _, err := fleet.FlyFile(c.Context, path, thisProgram()); err != nil {
			return interruptedOr(err)
		}
		fmt.Fprintf(s.out, "%s: flown to its end\n", path)
		return nil
	}
	url, err := oneArgument(c, "a server")
	if err != nil {
		return err
	}
	n := c.Int("workers")
	if n < 1 || n > maxWorkers {
		return usage("--workers %d: want 1 to %d", n, maxWorkers)
	}
	at, err := place(c, url)
	if err != nil {
		return err
	}
	err = interruptedOr(fleet.Work(c.Context, at, thisProgram(), n, s.say))
	var known coded
	if !errors.As(err, &known) {
		err = errors.New(text.Plain(err.Error(), text.MessageLength)) // the server may have written part of it
	}
	return err
}

// interruptedOr gives the end of the context its exit code.
func interruptedOr(err error) error {
	if errors.Is(err, context.Canceled) {
		return coded{errors.New("interrupted"), exitInterrupted}
	}
	return err
}

func (s streams) epochCommand() *cli.Command {
	return &cli.Command{
		Name:  "epoch",
		Usage: "fly one job from a file, as a spool holds them, for a cluster's own scheduler",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "in", Usage: "the job's `FILE`", Required: true},
			&cli.StringFlag{Name: "out", Usage: "the answer's `FILE`", DefaultText: "that of the job, ending in .answer"},
		},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usage("epoch: %d arguments, want --in FILE", c.NArg())
			}
			in, out := c.String("in"), c.String("out")
			if out == "" {
				out = fleet.AnswerPath(in)
			}
			sealed, err := fleet.FlyFile(c.Context, in, thisProgram())
			if sealed != nil {
				err = errors.Join(err, file.Write(out, sealed))
			}
			return interruptedOr(err)
		},
	}
}
