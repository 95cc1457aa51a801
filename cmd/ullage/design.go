package main

import (
	"os"

	"github.com/urfave/cli/v2"

	"ullage/optimize/brief"
)

var designFlag = &cli.IntFlag{Name: "design", Usage: "of a RUN take design `N` of its front", Value: 1}

// isRun reports whether an argument is a run rather than a brief.
func isRun(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// readSubject reads the brief that a command names, or of a RUN its brief with a
// design of its front in place of the brief's own, and with --set applied.
func (s streams) readSubject(c *cli.Context) (*brief.Brief, error) {
	name, err := oneArgument(c, "a brief or a run")
	if err != nil {
		return nil, err
	}
	return s.readSubjectNamed(c, name)
}

// readSubjectNamed is readSubject of a command with more arguments.
func (s streams) readSubjectNamed(c *cli.Context, name string) (*brief.Brief, error) {
	if isRun(name) {
		b, _, err := s.readDesign(c, name)
		return b, err
	}
	if c.IsSet("design") {
		return nil, usage("--design: %s is no run, want the folder of one", name)
	}
	return s.parseInClass(c, name, c.StringSlice(setFlag.Name))
}

// readDesign reads a design of a run as a brief. The text is that of the run's
// brief with the design and all that was set written in, so that it stands alone.
func (s streams) readDesign(c *cli.Context, dir string) (*brief.Brief, []byte, error) {
	var of cardSubject
	b, err := s.runDesign(c, dir, &of)
	if err != nil {
		return nil, nil, err
	}
	alone, err := b.Alone(of.x)
	if err != nil {
		return nil, nil, coded{err, exitUsage}
	}
	made, err := brief.Parse(of.name, alone)
	if err != nil {
		return nil, nil, coded{err, exitUsage}
	}
	return made, alone, nil
}

// subject reads the brief of a sweep, or of a RUN that run's, and returns the
// folder to write.
func (w *sweeping) subject(c *cli.Context) (dir string, err error) {
	if !isRun(c.Args().First()) {
		w.brief, err = w.readBrief(c)
		return runFolder(c, c.Args().First()), err
	}
	name, err := oneArgument(c, "a brief or a run")
	if err != nil {
		return "", err
	}
	w.brief, _, _, err = w.runFront(c, name, c.StringSlice(setFlag.Name))
	if dir = c.String("output"); dir == "" {
		dir = nextFolder(name)
	}
	return dir, err
}
