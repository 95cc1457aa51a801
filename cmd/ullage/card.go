package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"ullage/model"
	"ullage/optimize/brief"
	"ullage/optimize/study"
	"ullage/output/card"
	"ullage/output/file"
)

func (s streams) cardCommand() *cli.Command {
	return &cli.Command{
		Name:      "card",
		Usage:     "write the pad card and the build sheet of a design, to print",
		ArgsUsage: "RUN|BRIEF",
		Description: "Writes pad-card.html, pad-card.txt and build-sheet.html. Of a RUN it takes one design of the front, of a BRIEF\n" +
			"the design that it describes. The card's word is GO, GO, TIGHT or NO-GO, found by flights under scatter; NO-GO is exit code 3.",
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "design", Usage: "take design `N` of the run's front", Value: 1},
			&cli.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write into `FOLDER` (default: RUN/card-N, or card-NAME of a brief's file name)"},
			setFlag,
			&cli.StringFlag{Name: "format", Usage: "print the pad card as `FORMAT`, text or json, and write files only with --output"},
		},
		Action: s.card,
	}
}

func (s streams) card(c *cli.Context) error {
	asJSON := false
	if c.IsSet("format") {
		var err error
		if asJSON, err = wantsJSON(c); err != nil {
			return err
		}
	}
	b, of, err := s.cardSubject(c)
	if err != nil {
		return err
	}
	scratch := model.NewScratch()
	rocket, site := b.At(of.x)
	flight := model.Fly(&rocket, &site, scratch)
	if flight.Outcome != model.Landed {
		return coded{fmt.Errorf("%s: no flight to make a card of, %s", of.name, flight.Outcome), exitInfeasible}
	}
	card := cardOf(b, of, &flight, scratch)
	if c.IsSet("format") {
		text := []byte(card.PadText())
		if asJSON {
			if text, err = card.JSON(); err != nil {
				return err
			}
		}
		if _, err := s.out.Write(text); err != nil {
			return err
		}
	}
	if !c.IsSet("format") || c.IsSet("output") {
		if err := s.writeCard(&card, of.folder, !c.IsSet("format")); err != nil {
			return err
		}
	}
	s.caution(at(b, of.x))
	if card.Word() == study.NoGo {
		return coded{fmt.Errorf("%s: NO-GO for %s", of.name, strings.Join(card.Short(), ", ")), exitInfeasible}
	}
	return nil
}

// writeCard writes the three files, and says so where nothing else is printed.
func (s streams) writeCard(card *card.Card, dir string, say bool) error {
	pad, err := card.PadHTML()
	if err != nil {
		return err
	}
	sheet, err := card.SheetHTML()
	if err != nil {
		return err
	}
	if err := file.System.MakeFolders(dir); err != nil {
		return err
	}
	for _, page := range []struct {
		name string
		data []byte
	}{
		{"pad-card.html", pad},
		{"pad-card.txt", []byte(card.PadText())},
		{"build-sheet.html", sheet},
	} {
		path := filepath.Join(dir, page.name)
		if err := file.Write(path, page.data); err != nil {
			return err
		}
		if say {
			if _, err := fmt.Fprintln(s.out, path); err != nil {
				return err
			}
		}
	}
	return nil
}

// A cardSubject is the design that a card is made of.
type cardSubject struct {
	number int // in its run, from 1; 0: the brief's own
	x      []float64
	name   string // in words
	folder string // to write to
}

// cardSubject returns the brief that the arguments name and the design.
func (s streams) cardSubject(c *cli.Context) (*brief.Brief, cardSubject, error) {
	name, err := oneArgument(c, "a run or a brief")
	if err != nil {
		return nil, cardSubject{}, err
	}
	of := cardSubject{name: filepath.Base(name), folder: c.String("output")}
	var b *brief.Brief
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		b, err = s.runDesign(c, name, &of)
		return b, of, err
	}
	if c.IsSet("design") {
		return nil, of, usage("--design: %s is no run, want the folder of one", name)
	}
	if b, err = s.readBrief(c); err != nil {
		return nil, of, err
	}
	of.x = b.Own()
	if of.folder == "" {
		of.folder = "card-" + filepath.Base(runFolder(c, name))
	}
	return b, of, nil
}

// runDesign reads one design of a run's front; what --set gives replaces the
// run's values and the design's.
func (s streams) runDesign(c *cli.Context, dir string, of *cardSubject) (*brief.Brief, error) {
	b, _, designs, err := s.runFront(c, dir, c.StringSlice(setFlag.Name))
	if err != nil {
		return nil, err
	}
	n, err := designNumber(c, dir, designs)
	if err != nil {
		return nil, err
	}
	of.number, of.x = n, designs[n-1]
	of.name = fmt.Sprintf("design %d of %s", n, filepath.Base(filepath.Clean(dir)))
	if of.folder == "" {
		of.folder = filepath.Join(dir, fmt.Sprintf("card-%d", n))
	}
	return b, nil
}

// cardOf flies a design, whose flight f landed, for its card.
func cardOf(b *brief.Brief, of cardSubject, f *model.Flight, scratch *model.Scratch) card.Card {
	made := card.Of(b, of.number, of.x, f, scratch)
	made.Name, made.Version = of.name, version()
	return made
}

// at returns the brief with a design's rocket and site for its own.
func at(b *brief.Brief, x []float64) *brief.Brief {
	of := *b
	of.Rocket, of.Site = b.At(x)
	return &of
}
