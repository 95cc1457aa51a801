package main

import (
	"os"
	"slices"
	"strings"

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
	var design []string
	for i := range b.Vary {
		design = append(design, b.Vary[i].Setting(of.x[i]))
		if mass, ok := b.Vary[i].Mass(of.x[i]); ok {
			design = append(design, brief.MustQuantity("recovery.mass").Setting(mass))
		}
	}
	if b.Rocket.Weighed.Mass > 0 { // what was aboard on the scale, which the brief's own masses may have said
		for _, key := range []string{"weighed.payload", "weighed.ballast", "weighed.canopy"} {
			q := brief.MustQuantity(key)
			if key == "weighed.canopy" && b.Rocket.Recovery.Mass == 0 {
				continue
			}
			design = append(design, q.Setting(q.Value(&b.Rocket, &b.Site)))
		}
	}
	var settled []string
	for _, set := range b.Set {
		key, _, _ := strings.Cut(set, "=")
		settled = append(settled, strings.TrimSpace(key))
	}
	alone, err := brief.Rewritten(b.Source, slices.Concat(b.Set, design)...)
	if err == nil {
		alone, err = brief.Settled(alone, settled...)
	}
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
